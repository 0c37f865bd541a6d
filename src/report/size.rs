//! A sizing as text and CSV.

use std::collections::BTreeMap;

use super::gas::gas_text;
use super::interval::{odds, words};
use super::kind::{Cell, Column, Kind, csv_table, text_table};
use super::number::{UnitSystem, change, count};
use super::site_line;
use crate::air::at_20_c;
use crate::answer::{
    ChainFacts, DesignFacts, DetailFacts, DoubtFacts, DutyFacts, RejectedFacts, SizeAnswer,
    YieldFacts,
};
use crate::sizing::{MarginCase, Reason};
use crate::units::base;

/// The designs, each with its rank.
fn designs<'a>() -> [Column<(usize, &'a DesignFacts)>; 11] {
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
        Column::new("water each", "water_{}_each", Kind::Water, |(_, d), _| {
            d.each.water_flow_m3_per_s.into()
        }),
        Column::new(
            "running",
            "running_{}_gauge",
            Kind::Pressure,
            |(_, d), _| d.injection_gauge_pressure_pa.into(),
        ),
        Column::new("start", "startup_{}_gauge", Kind::Pressure, |(_, d), _| {
            d.startup_gauge_pressure_pa.into()
        }),
        Column::new(
            "air power",
            "injection_power_{}_total",
            Kind::Power,
            |(_, d), _| d.injection_power_total_w.into(),
        ),
        Column::new("best trade", "pareto", Kind::Yes, |(_, d), _| {
            d.pareto.into()
        }),
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

    /// Text for people, with the `top` designs; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem, top: usize) -> String {
        let duty = &self.duty;
        let mut text = format!(
            "Duty    {} over a lift of {}{}\nSite    {}\nModel   {}\n\n{}{}: {} solved, {} meet the duty; best is least {}\n\n",
            units.say(Kind::Water, duty.water_flow_m3_per_s),
            units.say(Kind::Height, duty.lift_m),
            also(duty, units),
            site_line(&self.site, units),
            self.model.worded(units),
            self.chain
                .as_ref()
                .zip(self.best())
                .map_or_else(String::new, |(chain, best)| chain_text(
                    chain, duty, best, units
                )),
            plural(self.candidates),
            count(self.solved),
            count(self.designs.len()),
            duty.objective.replace('_', " "),
        );
        let ranked = self.ranked();
        text += &text_table(&designs(), ranked.iter().take(top), units);
        if ranked.len() > top {
            text += &format!(
                "... and {} more (--top {} shows them)\n",
                count(ranked.len() - top),
                ranked.len()
            );
        }
        text += &format!(
            "\nAir is dry, at {}; air power is isothermal at the injection point, without line and blower losses;\nbest trade: no other design is as good in air power, number of lifts, air flow and pressure together.\n",
            units.air_state()
        );
        if duty.at_lower_end {
            text += "Air each is what lets the lower end of the interval meet the duty; water each is then more.\n";
        }
        if duty.at_low_water {
            text += "Air each is what the duty takes at low water; water, running pressure and power are those of this air at the\nnormal level.\n";
        }
        if let Some((best, detail)) = self
            .best()
            .and_then(|best| Some((best, best.detail.as_ref()?)))
        {
            text += &self.best_text(best, detail, units);
            text += &gas_text(&detail.gas, best.lifts, units);
            text += &self
                .chain
                .as_ref()
                .map_or_else(String::new, |chain| shortfall_text(chain, units));
        }
        text += &self.rejected_text(units);
        text
    }

    fn best_text(&self, best: &DesignFacts, detail: &DetailFacts, units: UnitSystem) -> String {
        let air = |kg_per_s| units.say(Kind::Air, at_20_c(kg_per_s));
        let water = |m3_per_s| units.say(Kind::Water, m3_per_s);
        let mut text = format!(
            "\nBest design: {}\n  water each    {}\n                {}\n{}{}  peak each     {} at {} of air\n",
            named(best.lifts, &best.pipe, best.submergence_m, units),
            water(best.each.water_flow_m3_per_s),
            words(detail.interval, detail.after_three_readings, units)
                .replace("\n        ", "\n                "),
            hangs_on(detail),
            self.doubt_cost
                .as_ref()
                .map_or_else(String::new, |cost| self.doubt_text(cost, best, units)),
            water(best.peak_each.water_flow_m3_per_s),
            air(best.peak_each.air_mass_flow_kg_per_s)
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
            text += &format!(
                "  {:<13} {} each ({against}){needed}\n",
                margin_words(margin.case),
                water(flow)
            );
        }
        if let Some(other) = self.designs.get(1) {
            text += &format!(
                "  {:<13} {}\n",
                "runner-up",
                against_best(other, best, units)
            );
        }
        for step in &self.bore_steps {
            let words = if step.bore_m < best.bore_m {
                "next bore down"
            } else {
                "next bore up"
            };
            let cost = match &step.best {
                Some(other) => against_best(other, best, units),
                None => format!("{}: no candidate meets the duty", step.pipe),
            };
            text += &format!("  {words:<13} {cost}\n");
        }
        text
    }

    /// What it takes that the lower end of the interval meets the duty: what a bench trial is worth.
    fn doubt_text(&self, cost: &DoubtFacts, best: &DesignFacts, units: UnitSystem) -> String {
        let lifts = f64::from(best.lifts);
        match (
            &cost.predicted.point,
            &cost.lower_end.point,
            &cost.lower_end.reason,
        ) {
            (Some(predicted), Some(lower), _) => {
                let more = |of: fn(&YieldFacts) -> f64| of(lower) * lifts - of(predicted) * lifts;
                format!(
                    "  the doubt     costs {} more of air and {} ({}): then the lower end of the interval\n                meets the duty, not the prediction alone\n",
                    units.say(
                        Kind::Air,
                        more(|point| at_20_c(point.air_mass_flow_kg_per_s))
                    ),
                    units.say(Kind::Power, more(|point| point.injection_power_w)),
                    change(lower.air_mass_flow_kg_per_s / predicted.air_mass_flow_kg_per_s - 1.0),
                )
            }
            (Some(_), None, Some(Reason::AbovePeak { peak_flow, target })) => format!(
                "  the doubt     no air brings the lower end of the interval to the duty: {} of {} each ({})\n",
                units.water(*peak_flow),
                units.water(*target),
                odds(self.duty.level)
            ),
            _ => String::new(),
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
            text += "\nRejected\n";
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
            ";\n                the need counts on water that enters as [need] says, so other aeration must give the rest"
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

/// What most of the interval comes from.
fn hangs_on(detail: &DetailFacts) -> String {
    /// A smaller share of the variance is not told.
    const TOLD: f64 = 0.1;
    if detail.hangs_on.is_empty() {
        return String::new();
    }
    let (told, others): (Vec<_>, Vec<_>) = detail.hangs_on.iter().partition(|s| s.share >= TOLD);
    let rest: f64 = others.iter().map(|other| other.share).sum();
    let told = told.iter().map(|one| (one.source.as_str(), one.share));
    let parts: Vec<String> = told
        .chain((rest >= 0.01).then_some(("the rest", rest)))
        .map(|(name, share)| format!("{name} {:.0} %", 100.0 * share))
        .collect();
    format!("  it hangs on   {}\n", parts.join(", "))
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
