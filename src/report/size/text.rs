//! A sizing as text and CSV.

use std::collections::BTreeMap;

use super::super::gas::gas_text;
use super::super::interval::{odds, words};
use super::super::number::{UnitSystem, change, count, place, short};
use super::super::{site_line, table};
use super::{Details, SizeReport};
use crate::answer::GasFacts;
use crate::report::csv::{quoted, unit_key};
use crate::riser::OperatingPoint;
use crate::sizing::{Design, DoubtCost, MarginCase, Problem, Reason, Rejected};
use crate::uncertainty::Source;
use crate::units::{pascal, ratio, watt};

impl SizeReport {
    /// CSV of all designs, with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        let sized = [
            units.bore_unit(),
            units.height_unit(),
            units.air_unit(),
            units.water_unit(),
            units.pressure_unit(),
            units.power_unit(),
        ];
        let [bore, height, air, water, pressure, power] = sized.map(|(size, _)| size);
        let [b, h, a, w, p, x] = sized.map(|(_, unit)| unit_key(unit));
        let mut text = format!(
            "rank,pipe,bore_{b},lifts,submergence_{h},air_dry_20c_101325pa_{a}_each,water_{w}_each,running_{p}_gauge,startup_{p}_gauge,injection_power_{x}_total,pareto\n"
        );
        for (n, d) in self.sizing.designs.iter().enumerate() {
            text += &format!(
                "{},{},{},{},{},{},{},{},{},{},{}\n",
                n + 1,
                quoted(&d.pipe.name),
                d.pipe.bore().value / bore,
                d.lifts,
                d.submergence.value / height,
                d.point.air.volume_rate_at_20_c().value / air,
                d.point.water_flow.value / water,
                d.injection_pressure().get::<pascal>() / pressure,
                d.startup_pressure.get::<pascal>() / pressure,
                d.injection_power_total().get::<watt>() / power,
                d.pareto,
            );
        }
        text
    }

    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, problem: &Problem, units: UnitSystem, top: usize) -> String {
        let mut text = format!(
            "Duty    {} over a lift of {}{}\nSite    {}\nModel   {}\n\n{}{}: {} solved, {} meet the duty; best is least {}\n\n",
            units.water(problem.duty.water_flow),
            units.height(problem.duty.lift),
            also(problem, units),
            site_line(&(&problem.site).into(), units),
            problem.model.worded(units),
            self.chain(problem)
                .map_or_else(String::new, |chain| chain.text(units)),
            plural(self.sizing.candidates),
            count(self.sizing.solved),
            count(self.sizing.designs.len()),
            problem.objective.name().replace('_', " "),
        );
        let (bore, height, air, water) = (
            units.bore_unit(),
            units.height_unit(),
            units.air_unit(),
            units.water_unit(),
        );
        let (pressure, power) = (units.pressure_unit(), units.power_unit());
        let header: [&str; 10] = [
            "pipe",
            &format!("bore {}", bore.1),
            "lifts",
            &format!("depth {}", height.1),
            &format!("air each {}", air.1),
            &format!("water each {}", water.1),
            &format!("running {}", pressure.1),
            &format!("start {}", pressure.1),
            &format!("air power {}", power.1),
            "best trade",
        ];
        text += &table(
            header,
            self.sizing.designs.iter().take(top).map(|d| {
                [
                    d.pipe.name.clone(),
                    short(d.pipe.bore().value / bore.0),
                    d.lifts.to_string(),
                    place(d.submergence.value / height.0),
                    short(d.point.air.volume_rate_at_20_c().value / air.0),
                    short(d.point.water_flow.value / water.0),
                    short(d.injection_pressure().get::<pascal>() / pressure.0),
                    short(d.startup_pressure.get::<pascal>() / pressure.0),
                    short(d.injection_power_total().get::<watt>() / power.0),
                    if d.pareto {
                        "yes".to_owned()
                    } else {
                        String::new()
                    },
                ]
            }),
        );
        if self.sizing.designs.len() > top {
            text += &format!(
                "... and {} more (--top {} shows them)\n",
                count(self.sizing.designs.len() - top),
                self.sizing.designs.len()
            );
        }
        text += &format!(
            "\nAir is dry, at {}; air power is isothermal at the injection point, without line and blower losses;\nbest trade: no other design is as good in air power, number of lifts, air flow and pressure together.\n",
            units.air_state()
        );
        if problem.at_lower_end {
            text += "Air each is what lets the lower end of the interval meet the duty; water each is then more.\n";
        }
        if problem.at_low_water {
            text += "Air each is what the duty takes at low water; water, running pressure and power are those of this air at the\nnormal level.\n";
        }
        text += &self.winner_text(problem, units);
        if let (Some(winner), Some(details)) = (self.sizing.best(), self.details.first()) {
            text += &gas_text(
                &GasFacts::of(&details.gases, &problem.site, winner.lifts),
                winner.lifts,
                units,
            );
            text += &self.shortfall_text(winner, details, units);
        }
        text += &self.rejected_text(units);
        text
    }

    fn winner_text(&self, problem: &Problem, units: UnitSystem) -> String {
        let (Some(winner), Some(details)) = (self.sizing.best(), self.details.first()) else {
            return String::new();
        };
        let mut text = format!(
            "\nBest design: {} x {} at {}\n",
            winner.lifts,
            winner.pipe.name,
            units.height(winner.submergence)
        );
        text += &format!(
            "  water each    {}\n                {}\n",
            units.water(winner.point.water_flow),
            words(
                details.interval.map(Into::into),
                details.after_three_readings.map(|half| half.value),
                units
            )
            .replace("\n        ", "\n                ")
        );
        text += &hangs_on(details);
        text += &self.doubt_text(problem, winner, units);
        text += &format!(
            "  peak each     {} at {} of air\n",
            units.water(winner.peak.water_flow),
            units.air(winner.peak.air.volume_rate_at_20_c())
        );
        for margin in &self.margins {
            let flow = margin.outcome.water_flow();
            let against = change((flow / winner.point.water_flow).get::<ratio>() - 1.0);
            let needed = match (winner.is_short(problem, margin.held), margin.air_needed) {
                (true, Some(air)) => {
                    format!(
                        ", below the duty: {} of air would meet it",
                        units.air(air.volume_rate_at_20_c())
                    )
                }
                (true, None) => ", below the duty".to_owned(),
                (false, _) if problem.at_low_water && margin.case == MarginCase::LowWater => {
                    ", the duty".to_owned()
                }
                (false, _) => String::new(),
            };
            text += &format!(
                "  {:<13} {} each ({against}){needed}\n",
                margin_words(margin.case),
                units.water(flow)
            );
        }
        for (n, words) in [(1, "runner-up")] {
            if let Some(other) = self.sizing.designs.get(n) {
                text += &format!("  {words:<13} {}\n", against_winner(other, winner, units));
            }
        }
        for step in &self.bore_steps {
            let words = if step.pipe.bore() < winner.pipe.bore() {
                "next bore down"
            } else {
                "next bore up"
            };
            let cost = match &step.best {
                Some(best) => against_winner(best, winner, units),
                None => format!("{}: no candidate meets the duty", step.pipe.name),
            };
            text += &format!("  {words:<13} {cost}\n");
        }
        text
    }

    /// What it takes that the lower end of the interval meets the duty: what a bench trial is worth.
    fn doubt_text(&self, problem: &Problem, winner: &Design, units: UnitSystem) -> String {
        let Some(DoubtCost {
            predicted,
            lower_end,
        }) = &self.doubt_cost
        else {
            return String::new();
        };
        let often = odds(problem.law.level().value);
        let lifts = f64::from(winner.lifts);
        match (predicted, lower_end) {
            (Ok(predicted), Ok(lower)) => {
                let air = |point: &OperatingPoint| point.air.volume_rate_at_20_c() * lifts;
                format!(
                    "  the doubt     costs {} more of air and {} ({}): then the lower end of the interval\n                meets the duty, not the prediction alone\n",
                    units.air(air(lower) - air(predicted)),
                    units.power(
                        (lower.injection_power - predicted.injection_power).get::<watt>() * lifts
                    ),
                    change((lower.air.kg_per_s() / predicted.air.kg_per_s()) - 1.0),
                )
            }
            (Ok(_), Err(Reason::AbovePeak { peak_flow, target })) => format!(
                "  the doubt     no air brings the lower end of the interval to the duty: {} of {} each ({often})\n",
                units.water(*peak_flow),
                units.water(*target)
            ),
            _ => String::new(),
        }
    }

    /// Oxygen that the lifts give against what the animals use: the need counts on water that enters well aerated.
    fn shortfall_text(&self, winner: &Design, details: &Details, units: UnitSystem) -> String {
        let (Some(need), Some((_, found))) = (&self.need, &details.gases.transfer) else {
            return String::new();
        };
        let used = need.load(|load| load.oxygen);
        let given = found.oxygen_added * f64::from(winner.lifts);
        if used.value <= 0.0 {
            return String::new();
        }
        let share = 100.0 * (given / used).get::<ratio>();
        let rest = if given < used {
            ";\n                the need counts on water that enters as [need] says, so other aeration must give the rest"
        } else {
            ""
        };
        format!(
            "  animals use   {}, of which the lifts give {share:.0} %{rest}\n",
            units.mass_flow(used.value)
        )
    }

    /// What was rejected, by reason, each with the nearest miss.
    #[must_use]
    pub fn rejected_text(&self, units: UnitSystem) -> String {
        let mut groups: BTreeMap<[&str; 2], (usize, &Rejected)> = BTreeMap::new();
        for rejected in &self.sizing.rejected {
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
                "  {}: {} ({} x {} at {})\n",
                plural(*number),
                nearest.reason.worded(units),
                nearest.lifts,
                nearest.pipe.name,
                units.height(nearest.submergence)
            );
        }
        text
    }
}

/// What the duty asks beside a flow and a lift.
fn also(problem: &Problem, units: UnitSystem) -> String {
    let mut text = String::new();
    if problem.at_low_water {
        text += &format!(
            ", at low water too: {} lower",
            units.height(problem.level_fall)
        );
    }
    if problem.at_lower_end {
        text += ", by the lower end of the interval";
    }
    text
}

/// What most of the interval comes from.
fn hangs_on(details: &Details) -> String {
    /// A smaller share of the variance is not told.
    const TOLD: f64 = 0.1;
    let Some(shares) = details.hangs_on.filter(|_| details.interval.is_some()) else {
        return String::new();
    };
    let rest = (1.0 - shares.iter().sum::<f64>()).max(0.0);
    let named = Source::ALL.iter().map(ToString::to_string).zip(shares);
    let mut all: Vec<(String, f64)> = named.collect();
    all.push(("rig and shape".to_owned(), rest));
    all.sort_by(|a, b| b.1.total_cmp(&a.1));
    let others: f64 = all
        .iter()
        .map(|(_, share)| share)
        .filter(|s| **s < TOLD)
        .sum();
    all.retain(|(_, share)| *share >= TOLD);
    if others >= 0.01 {
        all.push(("the rest".to_owned(), others));
    }
    let parts: Vec<String> = all
        .iter()
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

pub(in crate::report) fn margin_words(case: MarginCase) -> &'static str {
    match case {
        MarginCase::LessAir => "10 % less air",
        MarginCase::MoreAir => "10 % more air",
        MarginCase::LowWater => "low water",
        MarginCase::HighWater => "high water",
        MarginCase::Fouled => "fouled bore",
    }
}

fn against_winner(other: &Design, winner: &Design, units: UnitSystem) -> String {
    format!(
        "{} x {} at {}: air power {} ({}), air {} ({})",
        other.lifts,
        other.pipe.name,
        units.height(other.submergence),
        units.power(other.injection_power_total().get::<watt>()),
        change(
            (other.injection_power_total() / winner.injection_power_total()).get::<ratio>() - 1.0
        ),
        units.air(other.air_flow_total_at_20_c()),
        change(
            (other.air_flow_total_at_20_c() / winner.air_flow_total_at_20_c()).get::<ratio>() - 1.0
        ),
    )
}

/// What the reasons of a group have in common.
fn group(reason: &Reason) -> [&'static str; 2] {
    match reason {
        Reason::AtLowWater(there) => [reason.code(), there.code()],
        _ => [reason.code(), ""],
    }
}
