//! A trial to make.

use std::fmt::Write;

use crate::air::at_20_c;
use crate::answer::{OrderFacts, PlanAnswer, PlannedFacts, TrialDuty};
use crate::report::interval::{ends, odds, percents, rounded};
use crate::report::kind::{Column, Kind, text_table};
use crate::report::number::UnitSystem;
use crate::report::site_line;
use crate::report::wrapped;
use crate::trial::{DutyAir, FEWEST_REPEATS, PlanFlag};
use crate::units::base;
use crate::units::system::to_decimals;

const RUNS: [Column<PlannedFacts>; 11] = [
    Column::shown("run", Kind::Plain, |r, _| (&r.at.run).into()),
    Column::shown("depth", Kind::Place, |r, _| r.at.submergence_m.into()),
    Column::shown("lift", Kind::Place, |r, _| r.at.lift_m.into()),
    Column::shown("air", Kind::Air, |r, _| {
        at_20_c(r.at.air_mass_flow_kg_per_s).into()
    }),
    Column::shown("water", Kind::Water, |r, _| r.water_flow_m3_per_s.into()),
    Column::shown("interval", Kind::Plain, |r, units| {
        ends(r.interval, units).into()
    }),
    Column::shown("fill s", Kind::Share(1), |r, _| r.fill_time_s.into()),
    Column::shown("repeats", Kind::Plain, |r, _| {
        let repeats = r.repeats.map_or("not enough".to_owned(), |n| n.to_string());
        r.expected_relative_standard.map(|_| repeats).into()
    }),
    Column::shown("expect %", Kind::Share(1), |r, _| {
        r.expected_relative_standard
            .map(|share| 100.0 * share)
            .into()
    }),
    Column::shown("bottle s", Kind::Share(1), |r, _| r.bottle_time_s.into()),
    Column::shown("expect %", Kind::Share(1), |r, _| {
        let share = r.air_expected_relative_standard;
        share.map(|share| 100.0 * share).into()
    }),
];

impl PlanAnswer {
    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = format!(
            "Riser   bore {}; outlet {}\nSite    {}\nModel   {}\nWater   {} caught, wanted to {} % (standard uncertainty); pulsation {} % of a single time\nAir     {} bottle\n\n",
            units.say(Kind::Bore, self.bore_m),
            self.outlet,
            site_line(&self.site, units),
            self.model.worded(units),
            units.vessel(base(self.container_m3)),
            percents(self.wanted_relative_standard),
            percents(self.pulsation),
            units.vessel(base(self.bottle_m3)),
        );
        text += &text_table(&RUNS, &self.runs, units);
        text += &format!("\nAir is dry, at {}.\n", units.air_state());
        if let Some(found) = self.runs.iter().find_map(|run| run.interval) {
            let odds = odds(found.level);
            text += &format!("The true flow lies in the interval {odds}.\n");
        }
        for flag in PlanFlag::ALL {
            let flagged = self.runs.iter().filter(|run| run.flags.contains(flag));
            let labels: Vec<&str> = flagged.map(|run| run.at.run.as_str()).collect();
            if !labels.is_empty() {
                // Writing to a string cannot fail.
                let _ = writeln!(text, "Caution, {flag}: {}.", labels.join(", "));
            }
        }
        self.order.text(units, &mut text);
        self.container(units, &mut text);
        self.level(units, &mut text);
        wrapped(&text)
    }

    /// Which container would do.
    fn container(&self, units: UnitSystem, text: &mut String) {
        let flowing = || {
            let runs = self.runs.iter();
            runs.filter(|run| run.expected_relative_standard.is_some())
        };
        let largest = flowing()
            .map(|run| run.container_for_fewest_repeats_m3)
            .try_fold(0.0, |most: f64, next| next.map(|volume| most.max(volume)));
        let _ = match largest {
            _ if flowing().next().is_none() => Ok(()),
            Some(volume) => writeln!(
                text,
                "\nWith {FEWEST_REPEATS} repeats a container of {} would do for every run.",
                to_decimals(units, units.vessel_unit(), volume, [0, 1])
            ),
            None => writeln!(
                text,
                "\nNo container is large enough for {FEWEST_REPEATS} repeats: pulsation or calibration alone exceeds what is wanted. Repeat more often, or calibrate the container."
            ),
        };
    }

    fn level(&self, units: UnitSystem, text: &mut String) {
        let budgets = self.runs.iter().filter_map(|run| Some((run, run.level?)));
        let Some((run, worst)) =
            budgets.max_by(|(_, a), (_, b)| a.bias.abs().total_cmp(&b.bias.abs()))
        else {
            return;
        };
        let _ = writeln!(
            text,
            "\nLevel   one fill lowers the source by {}; the worst run, {}, then reads {:+.1} % ({:+.1} % over {} fills without return): {}.",
            units.say(Kind::Bore, worst.fall_m),
            run.at.run,
            100.0 * worst.bias,
            100.0 * worst.bias_without_return,
            worst.fills,
            worst.advice.worded(units),
        );
    }
}

/// Half of an interval, as a share of the flow.
pub(super) fn half(width: f64) -> String {
    format!("± {} %", rounded(100.0 * width))
}

impl OrderFacts {
    /// Which runs to make first.
    fn text(&self, units: UnitSystem, text: &mut String) {
        let (duty, wanted) = (&self.duty, half(self.wanted_half_width));
        let _ = write!(text, "\nDuty    {}", duty.text(units));
        let Some(now) = duty.half_width else {
            let _ = writeln!(
                text,
                ": no interval is known there, so no run can narrow it."
            );
            return;
        };
        let so_far = match duty.points {
            0 => "before any run".to_owned(),
            1 => "by 1 measured point".to_owned(),
            n => format!("by {n} measured points"),
        };
        let _ = writeln!(text, ": {} {so_far}", half(now));
        if duty.near_threshold {
            let _ = writeln!(
                text,
                "        Near the start of pumping such widths are rough."
            );
        }
        // Those that are enough, at least three, and no more lines than two.
        let shown = self.enough.unwrap_or(usize::MAX).clamp(3, 8);
        let steps = self.runs.iter().take(shown);
        let steps: Vec<String> = steps
            .map(|next| format!("{} {}", next.at.run, half(next.half_width)))
            .collect();
        if !steps.is_empty() {
            let _ = writeln!(text, "Order   {}", steps.join(", "));
        }
        let _ = match self.enough {
            Some(0) => writeln!(text, "Enough  for {wanted} already"),
            Some(1) => writeln!(
                text,
                "Enough  for {wanted}: the first; a slip shows only beside others, so make three"
            ),
            Some(n) => writeln!(text, "Enough  for {wanted}: the first {n}"),
            None => writeln!(
                text,
                "Enough  for {wanted}: not even all; try runs nearer to the duty"
            ),
        };
        if !self.another_rig.is_empty() {
            let _ = writeln!(
                text,
                "Others  {}: more than 15 % longer or shorter, so they tell nothing of the duty",
                self.another_rig.join(", ")
            );
        }
    }
}

impl TrialDuty {
    /// The duty of a trial, and where its air is from.
    pub(super) fn text(&self, units: UnitSystem) -> String {
        let at = [self.submergence_m, self.lift_m, self.air_mass_flow_kg_per_s];
        let from = match self.air_from {
            DutyAir::Given => "",
            DutyAir::ForWater => " for the flow of [duty]",
            DutyAir::Middle => " (the middle of what is tried)",
        };
        format!("{}{from}", place(at, units))
    }
}

/// Depth, lift and air flow of a run.
pub(super) fn place([depth_m, lift_m, kg_per_s]: [f64; 3], units: UnitSystem) -> String {
    format!(
        "depth {}, lift {}, air {}",
        units.say(Kind::Height, depth_m),
        units.say(Kind::Height, lift_m),
        units.say(Kind::Air, at_20_c(kg_per_s))
    )
}
