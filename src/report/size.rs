//! A sizing as text and CSV.

use std::collections::BTreeMap;

use super::gas::{gas_line, gas_text};
use super::interval::{odds, words};
use super::kind::{Cell, Column, Kind, csv_table, short_table, text_table};
use super::number::{UnitSystem, change, count};
use super::{site_line, wrapped};
use crate::air::at_20_c;
use crate::answer::{
    ChainFacts, DesignFacts, DetailFacts, DutyFacts, RejectedFacts, SizeAnswer, YieldFacts,
};
use crate::sizing::{MarginCase, Reason};
use crate::units::base;

/// What to change where every candidate was rejected.
#[must_use]
pub fn what_to_change(rejected: &[RejectedFacts]) -> &'static str {
    let gas = |one: &RejectedFacts| matches!(one.reason, Reason::TotalGasPressure { .. });
    if rejected.iter().all(gas) {
        "inject higher (limits.min_submergence), or allow more gas"
    } else {
        "use more depth, wider pipe, more lifts or less lift"
    }
}

/// A design with its rank.
type Row<'a> = (usize, &'a DesignFacts);

/// The designs.
fn designs<'a>() -> [Column<Row<'a>>; 11] {
    [
        Column::saved("rank", Kind::Count, |(rank, _), _| (*rank).into()),
        Column::new("pipe", "pipe", Kind::Plain, |(_, d), _| Cell::from(&d.pipe)),
        Column::new("bore", "bore_{}", Kind::Bore, |(_, d), _| d.bore_m.into()),
        Column::new("lifts", "lifts", Kind::Count, |(_, d), _| d.lifts.into()),
        Column::new("depth", "submergence_{}", Kind::Height, |(_, d), _| {
            d.submergence_m.into()
        }),
        Column::new(
            "air each",
            "air_dry_20c_101325pa_{}_each",
            Kind::Air,
            |(_, d), _| at_20_c(d.each.air_mass_flow_kg_per_s).into(),
        ),
        Column::<Row>::new("water each", "water_{}_each", Kind::Water, |(_, d), _| {
            d.each.water_flow_m3_per_s.into()
        })
        .in_detail(),
        Column::<Row>::new(
            "running",
            "running_{}_gauge",
            Kind::Pressure,
            |(_, d), _| d.injection_gauge_pressure_pa.into(),
        )
        .in_detail(),
        Column::new("start", "startup_{}_gauge", Kind::Pressure, |(_, d), _| {
            d.startup_gauge_pressure_pa.into()
        }),
        Column::new(
            "air power",
            "injection_power_{}_total",
            Kind::Power,
            |(_, d), _| d.injection_power_total_w.into(),
        ),
        Column::<Row>::new("best trade", "pareto", Kind::Yes, |(_, d), _| {
            d.pareto.into()
        })
        .in_detail(),
    ]
}

impl SizeAnswer {
    fn ranked(&self) -> Vec<(usize, &DesignFacts)> {
        (1..).zip(&self.designs).collect()
    }

    /// CSV of all designs, with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&designs(), &self.ranked(), units)
    }

    /// The answer for people, with the `top` designs: in short, as [`SizeAnswer::full_text`] has it all. Cautions are in
    /// neither.
    #[must_use]
    pub fn text(&self, units: UnitSystem, top: usize) -> String {
        let Some(best) = self.best() else {
            return self.full_text(units, top);
        };
        let mut text = best_line(best, units);
        text += &self.others(best, units);
        if let Some(chain) = &self.chain {
            text += &chain_line(chain, units);
        }
        text += &format!("Water     {}\n", water_words(best, units));
        text += &format!("Blower    {}\n", self.air_words(best, units));
        if !self.margins.is_empty() {
            text += &format!("Margins   {}\n", self.margins_words(best, units));
        }
        if let Some(detail) = &best.detail {
            let gas = gas_line(&detail.gas, self.duty.level_rise_m > 0.0, units);
            let used = self
                .chain
                .as_ref()
                .and_then(|chain| chain.oxygen_given_over_used);
            let used = used.map_or_else(String::new, |share| {
                let share = units.say(Kind::Percent(0), share);
                format!("; the lifts give {share} of the oxygen that the animals use")
            });
            text += &format!("Gases     {gas}{used}\n");
        }
        let ranked = self.ranked();
        text += &short_table(&designs(), ranked.iter().take(top), units);
        text += &self.searched_line();
        text += &self.asked(units);
        wrapped(&text)
    }

    /// The best design inside the measured data, where the best of all is outside it, and one with far fewer lifts.
    fn others(&self, best: &DesignFacts, units: UnitSystem) -> String {
        let mut text = String::new();
        if !best.outside_data.is_empty() {
            let inside = match &self.best_inside_data {
                Some(inside) => at_power(inside, best, units),
                None => "no design".to_owned(),
            };
            text += &format!("Inside    measured data: {inside}\n");
        }
        if let Some(fewer) = &self.fewer_lifts {
            text += &format!("Fewer     {}\n", at_power(fewer, best, units));
        }
        text
    }

    /// The answer for people with all that stands behind it: every margin and reason with its numbers.
    #[must_use]
    pub fn full_text(&self, units: UnitSystem, top: usize) -> String {
        let duty = &self.duty;
        let mut text = String::new();
        let best = self.best();
        if let Some((best, detail)) = best.and_then(|best| Some((best, best.detail.as_ref()?))) {
            text += &self.best_text(best, detail, units);
            text += &gas_text(&detail.gas, best.lifts, units);
            text += &self
                .chain
                .as_ref()
                .map_or_else(String::new, |chain| shortfall_text(chain, units));
            text += "\n";
        }
        if let Some((chain, best)) = self.chain.as_ref().zip(best) {
            text += &chain_text(chain, duty, best, units);
        }
        let ranked = self.ranked();
        text += &text_table(&designs(), ranked.iter().take(top), units);
        text += &format!(
            "\n{}Air is dry, at {}; air power is isothermal at the injection point, without line and blower losses; best trade: no other design is as good in air power, number of lifts, air flow and pressure together.\n",
            self.counts_line(top),
            units.air_state()
        );
        if duty.at_lower_end {
            text += "Air each is what lets the lower end of the interval meet the duty; water each is then more.\n";
        }
        if duty.at_low_water {
            text += "Air each is what the duty takes at low water; water, running pressure and power are those of this air at the normal level.\n";
        }
        text += &self.rejected_text(units);
        text += &format!("\n{}", self.asked(units));
        text += &format!("Model     {}\n", self.model.worded(units));
        wrapped(&text)
    }

    /// What was asked, and where.
    fn asked(&self, units: UnitSystem) -> String {
        let duty = &self.duty;
        format!(
            "Asked     {} lifted {}{}; {}\n",
            units.say(Kind::Water, duty.water_flow_m3_per_s),
            units.say(Kind::Height, duty.lift_m),
            also(duty, units),
            site_line(&self.site, units),
        )
    }

    /// How many candidates there were and met the duty, and how they are ranked.
    fn counts_line(&self, top: usize) -> String {
        let found = self.designs.len();
        let more = if found > top {
            format!("; --top {found} shows all")
        } else {
            String::new()
        };
        format!(
            "{}: {} solved, {} meet the duty; best is least {}{more}\n",
            plural(self.candidates),
            count(self.solved),
            count(found),
            self.duty.objective.replace('_', " "),
        )
    }

    /// What the best design asks of the blower.
    fn air_words(&self, best: &DesignFacts, units: UnitSystem) -> String {
        let air = at_20_c(best.each.air_mass_flow_kg_per_s);
        let number = |kind: Kind, si: f64| units.number(kind, si);
        let mut text = format!(
            "{} of air ({} each) at {} gauge to start and {} running, {}, before line and blower losses",
            units.say(Kind::Air, air * f64::from(best.lifts)),
            number(Kind::Air, air),
            units.say(Kind::Pressure, best.startup_gauge_pressure_pa),
            number(Kind::Pressure, best.injection_gauge_pressure_pa),
            units.say(Kind::Power, best.injection_power_total_w),
        );
        let met = self.doubt_cost.as_ref();
        let met = met.map(|cost| {
            (
                &cost.predicted.point,
                &cost.lower_end.point,
                &cost.lower_end.reason,
            )
        });
        match met {
            Some((Some(predicted), Some(lower), _)) => {
                let more = |point: &YieldFacts| {
                    at_20_c(point.air_mass_flow_kg_per_s) * f64::from(best.lifts)
                };
                let share = change(more(lower) / more(predicted) - 1.0);
                let more = units.say(Kind::Air, more(lower) - more(predicted));
                text += &if self.duty.at_lower_end {
                    format!("; {more} of it ({share}) are to be sure")
                } else {
                    format!("; to be sure, {more} more ({share})")
                };
            }
            Some((_, None, Some(Reason::AbovePeak { .. }))) => {
                text += "; however much air, the lower end stays below the duty";
            }
            _ => {}
        }
        text
    }

    /// What the water becomes when something changes and the air does not.
    fn margins_words(&self, best: &DesignFacts, units: UnitSystem) -> String {
        let cases = self.margins.iter().map(|margin| {
            let flow = margin.water_flow_each_m3_per_s;
            let against = change(flow / best.each.water_flow_m3_per_s - 1.0);
            let held = match (margin.short, margin.case) {
                (false, MarginCase::LowWater) if self.duty.at_low_water => ", still the duty",
                (true, MarginCase::LowWater) => ", below the duty",
                _ => "",
            };
            format!("{against} {}", self.margin_case(margin.case, held, units))
        });
        format!("water {}", cases.collect::<Vec<_>>().join(", "))
    }

    /// A case of the margins, with its level and what of the duty is held there.
    fn margin_case(&self, case: MarginCase, held: &str, units: UnitSystem) -> String {
        let duty = &self.duty;
        let level = |m| units.say(Kind::Height, m);
        match case {
            MarginCase::LowWater => {
                format!("at low water ({} lower{held})", level(duty.level_fall_m))
            }
            MarginCase::HighWater => format!("at high water ({} higher)", level(duty.level_rise_m)),
            MarginCase::Fouled => "fouled".to_owned(),
            MarginCase::LessAir => "with 10 % less air".to_owned(),
            MarginCase::MoreAir => "with 10 % more".to_owned(),
        }
    }

    /// How many candidates there were and met the duty, and why not the others, in one line.
    fn searched_line(&self) -> String {
        let mut groups: BTreeMap<&str, usize> = BTreeMap::new();
        for rejected in &self.rejected {
            *groups.entry(in_short(&rejected.reason)).or_default() += 1;
        }
        let mut groups: Vec<_> = groups.into_iter().collect();
        groups.sort_by_key(|(_, number)| std::cmp::Reverse(*number));
        let groups = groups
            .iter()
            .map(|(why, number)| format!(", {} {why}", count(*number)));
        format!(
            "Searched  {}: {} meet the duty (--top N){} (-v)\n",
            plural(self.candidates),
            count(self.designs.len()),
            groups.collect::<String>(),
        )
    }

    fn best_text(&self, best: &DesignFacts, detail: &DetailFacts, units: UnitSystem) -> String {
        let air = |kg_per_s| units.say(Kind::Air, at_20_c(kg_per_s));
        let water = |m3_per_s| units.say(Kind::Water, m3_per_s);
        let mut text = best_line(best, units) + &self.others(best, units);
        let mut line = |label: &str, words: &str| text += &format!("  {label:<16}{words}\n");
        line("water each", &water(best.each.water_flow_m3_per_s));
        line(
            "how sure",
            &words(
                detail.interval,
                [detail.after_one_reading, detail.after_three_readings],
                units,
            ),
        );
        let why = unsure_because(detail, units);
        if !why.is_empty() {
            line("why not surer", &why);
        }
        if let Some(sure) = self.sure_words(best, units) {
            line("to be sure", &sure);
        }
        line(
            "peak each",
            &format!(
                "{} at {} of air",
                water(best.peak_each.water_flow_m3_per_s),
                air(best.peak_each.air_mass_flow_kg_per_s)
            ),
        );
        for margin in &self.margins {
            let flow = margin.water_flow_each_m3_per_s;
            let against = change(flow / best.each.water_flow_m3_per_s - 1.0);
            let needed = match (margin.short, margin.air_needed_each_kg_per_s) {
                (true, Some(needed)) => {
                    format!(", below the duty: {} of air would meet it", air(needed))
                }
                (true, None) => ", below the duty".to_owned(),
                (false, _) if self.duty.at_low_water && margin.case == MarginCase::LowWater => {
                    ", the duty".to_owned()
                }
                (false, _) => String::new(),
            };
            let level = match margin.case {
                MarginCase::LowWater => {
                    let fall = units.say(Kind::Height, self.duty.level_fall_m);
                    format!(" with the water {fall} lower")
                }
                MarginCase::HighWater => {
                    let rise = units.say(Kind::Height, self.duty.level_rise_m);
                    format!(" with the water {rise} higher")
                }
                _ => String::new(),
            };
            let words = format!("{} each ({against}){level}{needed}", water(flow));
            line(margin_words(margin.case), &words);
        }
        if let Some(other) = self.designs.get(1) {
            line("runner-up", &against_best(other, best, units));
        }
        for step in &self.bore_steps {
            let label = if step.bore_m < best.bore_m {
                "next bore down"
            } else {
                "next bore up"
            };
            let cost = match &step.best {
                Some(other) => against_best(other, best, units),
                None => format!("{}: no candidate meets the duty", step.pipe),
            };
            line(label, &cost);
        }
        text
    }

    /// What it takes that the lower end of the interval meets the duty: what a bench trial is worth.
    fn sure_words(&self, best: &DesignFacts, units: UnitSystem) -> Option<String> {
        let cost = self.doubt_cost.as_ref()?;
        let lifts = f64::from(best.lifts);
        match (
            &cost.predicted.point,
            &cost.lower_end.point,
            &cost.lower_end.reason,
        ) {
            (Some(predicted), Some(lower), _) => {
                let more = |of: fn(&YieldFacts) -> f64| of(lower) * lifts - of(predicted) * lifts;
                let air = units.say(
                    Kind::Air,
                    more(|point| at_20_c(point.air_mass_flow_kg_per_s)),
                );
                let power = units.say(Kind::Power, more(|point| point.injection_power_w));
                let share =
                    change(lower.air_mass_flow_kg_per_s / predicted.air_mass_flow_kg_per_s - 1.0);
                Some(if self.duty.at_lower_end {
                    format!(
                        "{air} of this air and {power} ({share}) are there so that the lower end of the interval, too, meets the duty"
                    )
                } else {
                    format!(
                        "{air} more air and {power} ({share}) would let the lower end of the interval, too, meet the duty"
                    )
                })
            }
            (Some(_), None, Some(Reason::AbovePeak { peak_flow, target })) => Some(format!(
                "however much air, the lower end of the interval stays below the duty: {} of {} each ({})",
                units.water(*peak_flow),
                units.water(*target),
                odds(self.duty.level)
            )),
            _ => None,
        }
    }

    /// What was rejected, by reason, each with the nearest miss.
    #[must_use]
    pub fn rejected_text(&self, units: UnitSystem) -> String {
        let mut groups: BTreeMap<[&str; 2], (usize, &RejectedFacts)> = BTreeMap::new();
        for rejected in &self.rejected {
            let group = groups
                .entry(group(&rejected.reason))
                .or_insert((0, rejected));
            group.0 += 1;
            if rejected.reason.nearness() > group.1.reason.nearness() {
                group.1 = rejected;
            }
        }
        let mut text = String::new();
        if !groups.is_empty() {
            text += "\nRejected, with the nearest miss of each reason\n";
        }
        for (number, nearest) in groups.values() {
            text += &format!(
                "  {}: {} ({})\n",
                plural(*number),
                nearest.reason.worded(units),
                named(nearest.lifts, &nearest.pipe, nearest.submergence_m, units)
            );
        }
        text
    }
}

/// What the duty asks beside a flow and a lift.
fn also(duty: &DutyFacts, units: UnitSystem) -> String {
    let mut text = String::new();
    if duty.at_low_water {
        text += &format!(
            ", at low water too: {} lower",
            units.say(Kind::Height, duty.level_fall_m)
        );
    }
    if duty.at_lower_end {
        text += ", by the lower end of the interval";
    }
    text
}

/// From the animals to the power of the air, one link a line.
fn chain_text(
    chain: &ChainFacts,
    duty: &DutyFacts,
    best: &DesignFacts,
    units: UnitSystem,
) -> String {
    let load = &chain.load;
    let mass = |kg_per_s| units.mass_a_day(base(kg_per_s));
    let water = |m3_per_s| units.say(Kind::Water, m3_per_s);
    let why = load
        .governing
        .map_or_else(String::new, |line| format!(", {line} governs"));
    let when = load
        .largest_day
        .as_ref()
        .map_or_else(String::new, |day| format!(" on {day}, the largest day"));
    let air = at_20_c(best.each.air_mass_flow_kg_per_s);
    format!(
        "Chain\n  animals       {} in {}: feed {}\n  they need     oxygen {}; they give TAN {}, carbon dioxide {}\n  flow          {} needed{when}{why}; {} asked\n  lift          {}\n  lifts         {}: {} each, {} in all\n  air           {} each, {} in all, at {} gauge\n  air power     {} in all, isothermal at the injection points\n\n",
        units.mass(base(load.biomass_kg)),
        load.running_tanks.join(", "),
        mass(load.feed_kg_per_s),
        mass(load.oxygen_kg_per_s),
        mass(load.tan_kg_per_s),
        mass(load.carbon_dioxide_kg_per_s),
        water(load.need_m3_per_s),
        water(duty.water_flow_m3_per_s),
        units.say(Kind::Height, duty.lift_m),
        named(best.lifts, &best.pipe, best.submergence_m, units),
        water(best.each.water_flow_m3_per_s),
        water(best.water_flow_total_m3_per_s),
        units.say(Kind::Air, air),
        units.say(Kind::Air, air * f64::from(best.lifts)),
        units.say(Kind::Pressure, best.injection_gauge_pressure_pa),
        units.say(Kind::Power, best.injection_power_total_w),
    )
}

/// Oxygen that the lifts give against what the animals use: the need counts on water that enters well aerated.
fn shortfall_text(chain: &ChainFacts, units: UnitSystem) -> String {
    chain.oxygen_given_over_used.map_or_else(String::new, |share| {
        let rest = if share < 1.0 {
            "; the need counts on water that enters as [need] says, so other aeration must give the rest"
        } else {
            ""
        };
        format!(
            "  animals use   {}, of which the lifts give {}{rest}\n",
            units.mass_flow(chain.load.oxygen_kg_per_s),
            units.say(Kind::Percent(0), share)
        )
    })
}

/// The best design and how deep its air is let in.
fn best_line(best: &DesignFacts, units: UnitSystem) -> String {
    format!(
        "Best: {} lift{} of {}, air let in {} deep\n",
        best.lifts,
        if best.lifts == 1 { "" } else { "s" },
        best.pipe,
        units.say(Kind::Height, best.submergence_m)
    )
}

/// What the animals need, in a line.
fn chain_line(chain: &ChainFacts, units: UnitSystem) -> String {
    let load = &chain.load;
    let why = load
        .governing
        .map_or_else(String::new, |line| format!(", {line} governs"));
    let when = load
        .largest_day
        .as_ref()
        .map_or_else(String::new, |day| format!(" on {day}, the largest day"));
    format!(
        "Need      {} for {} in {}{when}{why}\n",
        units.say(Kind::Water, load.need_m3_per_s),
        units.mass(base(load.biomass_kg)),
        load.running_tanks.join(", "),
    )
}

/// What each lift gives, how sure that is, and why it is not surer.
fn water_words(best: &DesignFacts, units: UnitSystem) -> String {
    let mut text = format!(
        "{} each",
        units.say(Kind::Water, best.each.water_flow_m3_per_s)
    );
    if let Some(detail) = &best.detail {
        text += &format!(
            "; {}",
            words(
                detail.interval,
                [detail.after_one_reading, detail.after_three_readings],
                units
            )
        );
        let why = unsure_because(detail, units);
        if !why.is_empty() {
            text += &format!(". Uncertain mainly because {why}");
        }
    }
    text
}

/// What most of the interval comes from, in words.
fn unsure_because(detail: &DetailFacts, units: UnitSystem) -> String {
    /// A smaller share of the variance is not told.
    const TOLD: f64 = 0.1;
    let told = detail.hangs_on.iter().filter(|one| one.share >= TOLD);
    let parts: Vec<String> = told
        .map(|one| {
            let what = match one.source.as_str() {
                "rig and shape" => "rigs differ".to_owned(),
                "wide pipe" => format!(
                    "pipe wider than {} is little measured",
                    units.pick("25 mm", "1 in")
                ),
                "developing length" => {
                    "over what length the flow develops is not well known".to_owned()
                }
                "entrance" => "the loss at the entrance is not well known".to_owned(),
                "outlet" => "the head at the outlet is not well known".to_owned(),
                other => format!("of {other}"),
            };
            format!("{what} ({:.0} %)", 100.0 * one.share)
        })
        .collect();
    parts.join(", ")
}

/// Why candidates are rejected, in few words.
fn in_short(reason: &Reason) -> &'static str {
    match reason {
        Reason::AbovePeak { .. } => "cannot give so much water",
        Reason::InsideReserve { .. } => "too near their peak",
        Reason::AirPressure { .. } => "need more air pressure",
        Reason::TotalGasPressure { .. } => "too deep for the gas limit",
        Reason::LiftOutOfReach { .. } => "cannot lift so high",
        Reason::RunsWithoutAir { .. } => "give more without air",
        Reason::AtLowWater(_) => "fail at low water",
        Reason::CannotBe(_) => "cannot be built so",
        Reason::Unsolved => "unsolved",
    }
}

fn plural(candidates: usize) -> String {
    format!(
        "{} candidate{}",
        count(candidates),
        if candidates == 1 { "" } else { "s" }
    )
}

pub(super) fn margin_words(case: MarginCase) -> &'static str {
    match case {
        MarginCase::LessAir => "10 % less air",
        MarginCase::MoreAir => "10 % more air",
        MarginCase::LowWater => "low water",
        MarginCase::HighWater => "high water",
        MarginCase::Fouled => "fouled bore",
    }
}

/// Number, pipe and depth.
fn named(lifts: u32, pipe: &str, submergence_m: f64, units: UnitSystem) -> String {
    format!(
        "{lifts} x {pipe} at {}",
        units.say(Kind::Height, submergence_m)
    )
}

/// A design and its power against that of the best.
fn at_power(other: &DesignFacts, best: &DesignFacts, units: UnitSystem) -> String {
    format!(
        "{} for {} ({})",
        named(other.lifts, &other.pipe, other.submergence_m, units),
        units.say(Kind::Power, other.injection_power_total_w),
        change(other.injection_power_total_w / best.injection_power_total_w - 1.0),
    )
}

fn against_best(other: &DesignFacts, best: &DesignFacts, units: UnitSystem) -> String {
    let air = |one: &DesignFacts| at_20_c(one.each.air_mass_flow_kg_per_s) * f64::from(one.lifts);
    format!(
        "{}: air power {} ({}), air {} ({})",
        named(other.lifts, &other.pipe, other.submergence_m, units),
        units.say(Kind::Power, other.injection_power_total_w),
        change(other.injection_power_total_w / best.injection_power_total_w - 1.0),
        units.say(Kind::Air, air(other)),
        change(air(other) / air(best) - 1.0),
    )
}

/// What the reasons of a group have in common.
fn group(reason: &Reason) -> [&'static str; 2] {
    match reason {
        Reason::AtLowWater(there) => [reason.code(), there.code()],
        _ => [reason.code(), ""],
    }
}
