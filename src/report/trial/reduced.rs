//! A bench trial reduced to flows.

use std::fmt::Write;

use crate::air::at_20_c;
use crate::answer::{MeasuredFacts, TrialAnswer, TrialFlow, TrialRun};
use crate::report::interval::percents;
use crate::report::kind::{Cell, Column, Kind, csv_table, text_table};
use crate::report::number::{UnitSystem, short};
use crate::report::wrapped;
use crate::trial::{OUTLIER_RATE, Source};

const RUNS: [Column<TrialRun>; 23] = [
    Column::new("run", "run", Kind::Plain, |r, _| (&r.at.run).into()),
    Column::new("setup", "configuration", Kind::Plain, |r, _| {
        (&r.configuration).into()
    }),
    Column::new("depth", "submergence_{}", Kind::Place, |r, _| {
        r.at.submergence_m.into()
    }),
    Column::new("lift", "lift_{}", Kind::Place, |r, _| r.at.lift_m.into()),
    Column::shown("water", Kind::Water, |r, units| {
        let flow = r.flow.as_ref().map(|flow| {
            let [value, high] = [flow.water_flow_m3_per_s, flow.water_flow_high_m3_per_s];
            plus_minus(value, high, units.water_unit().0)
        });
        flow.unwrap_or("no flow".to_owned()).into()
    }),
    Column::saved("water_{}", Kind::Water, |r, _| {
        r.flow(|flow| flow.water_flow_m3_per_s)
            .unwrap_or(0.0)
            .into()
    }),
    Column::saved("water_standard_{}", Kind::Water, |r, _| {
        r.flow(|flow| flow.water_flow_standard_m3_per_s).into()
    }),
    Column::saved("water_low_{}", Kind::Water, |r, _| {
        r.flow(|flow| flow.water_flow_low_m3_per_s).into()
    }),
    Column::saved("water_high_{}", Kind::Water, |r, _| {
        r.flow(|flow| flow.water_flow_high_m3_per_s).into()
    }),
    Column::shown("air", Kind::Air, |r, units| {
        let air = [r.at.air_mass_flow_kg_per_s, r.air_mass_flow_high_kg_per_s];
        let [value, high] = air.map(at_20_c);
        plus_minus(value, high, units.air_unit().0).into()
    }),
    Column::saved("air_dry_20c_101325pa_{}", Kind::Air, |r, _| {
        at_20_c(r.at.air_mass_flow_kg_per_s).into()
    }),
    Column::saved("air_standard_{}", Kind::Air, |r, _| {
        at_20_c(r.air_mass_flow_standard_kg_per_s).into()
    }),
    Column::saved("air_low_{}", Kind::Air, |r, _| {
        at_20_c(r.air_mass_flow_low_kg_per_s).into()
    }),
    Column::saved("air_high_{}", Kind::Air, |r, _| {
        at_20_c(r.air_mass_flow_high_kg_per_s).into()
    }),
    Column::shown("air/water", Kind::Plain, |r, _| {
        let flow = r.flow.as_ref();
        let words = flow.map(|flow| plus_minus(flow.air_to_water, flow.air_to_water_high, 1.0));
        words.into()
    }),
    Column::saved("air_to_water", Kind::Plain, |r, _| {
        r.flow(|flow| flow.air_to_water).into()
    }),
    Column::saved("air_to_water_standard", Kind::Plain, |r, _| {
        r.flow(|flow| flow.air_to_water_standard).into()
    }),
    Column::saved("correlation", Kind::Plain, |r, _| {
        r.flow(|flow| flow.water_air_correlation).into()
    }),
    Column::shown("water by", Kind::Plain, |r, _| {
        worded(r.water().and_then(dominant))
    }),
    Column::shown("air by", Kind::Plain, |r, _| worded(dominant(&r.air))),
    Column::saved("water_dominant", Kind::Plain, |r, _| {
        r.water().and_then(dominant).map(Source::code).into()
    }),
    Column::saved("air_dominant", Kind::Plain, |r, _| {
        dominant(&r.air).map(Source::code).into()
    }),
    Column::saved("outliers", Kind::Count, |r, _| {
        let water = r.water();
        let of = |all: &MeasuredFacts| all.outliers.as_ref().map_or(0, Vec::len);
        water.map(|water| of(water) + of(&r.air)).into()
    }),
];

fn dominant(measured: &MeasuredFacts) -> Option<Source> {
    measured.budget.first().map(|part| part.source)
}

fn worded(source: Option<Source>) -> Cell {
    source
        .map_or_else(String::new, |source| {
            source.to_string().replace(" of the repeats", "")
        })
        .into()
}

/// Value and half-width of its interval, in a unit of the given size.
fn plus_minus(value: f64, high: f64, size: f64) -> String {
    let half = 100.0 * (high - value) / value;
    format!("{} ± {half:.1} %", short(value / size))
}

impl TrialRun {
    /// A number of its water.
    fn flow(&self, number: fn(&TrialFlow) -> f64) -> Option<f64> {
        self.flow.as_ref().map(number)
    }

    fn water(&self) -> Option<&MeasuredFacts> {
        self.flow.as_ref().map(|flow| &flow.water)
    }
}

impl TrialAnswer {
    /// CSV with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&RUNS, self.runs.iter().chain(&self.no_flow), units)
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = text_table(&RUNS, self.runs.iter().chain(&self.no_flow), units);
        // Writing to a string cannot fail.
        let _ = writeln!(
            text,
            "\nAir is dry, at {}; water by and air by name what dominates their limits. Limits hold the true value with {:.0} % (Student's t).",
            units.air_state(),
            100.0 * self.coverage_level
        );
        text += &self.outliers();
        text += &self.advice();
        wrapped(&text)
    }

    /// The repeats out of line, and at which rate of false alarms they are shown.
    fn outliers(&self) -> String {
        let mut text = String::new();
        for run in &self.runs {
            for (what, of) in [("water", run.water()), ("air", Some(&run.air))] {
                for outlier in of.iter().filter_map(|of| of.outliers.as_ref()).flatten() {
                    let _ = writeln!(
                        text,
                        "Run {}: {what} time {}, {:.2} s, is out of line with the others; it is kept, so look it up.",
                        run.at.run, outlier.repeat, outlier.time_s,
                    );
                }
            }
        }
        if !text.is_empty() {
            let _ = writeln!(
                text,
                "In a sheet without slips such a line comes up with {:.0} % probability at most.",
                100.0 * OUTLIER_RATE
            );
        }
        text
    }

    /// What to improve first: advice on the least certain water and air flow whose readings look right.
    fn advice(&self) -> String {
        if self.runs.is_empty() {
            return String::new();
        }
        format!(
            "\nFor a standard uncertainty of {} %:\n{}{}",
            percents(self.wanted_relative_standard),
            self.advice_on("Water", TrialRun::water),
            self.advice_on("Air", |run| Some(&run.air))
        )
    }

    fn advice_on(&self, name: &str, of: fn(&TrialRun) -> Option<&MeasuredFacts>) -> String {
        let runs = || self.runs.iter().filter_map(|run| Some((run, of(run)?)));
        let sound = runs().filter(|(_, it)| it.advice.is_some());
        let worst =
            sound.max_by(|(_, a), (_, b)| a.relative_standard.total_cmp(&b.relative_standard));
        let mut text = match worst {
            Some((run, it)) => format!(
                "{name}, run {} ({:.2} %): {}\n",
                run.at.run,
                100.0 * it.relative_standard,
                it.advice.as_deref().unwrap_or_default()
            ),
            None => format!("{name}: no run whose readings all look right\n"),
        };
        let odd = runs().filter(|(_, it)| it.advice.is_none());
        let odd: Vec<&str> = odd.map(|(run, _)| run.at.run.as_str()).collect();
        if !odd.is_empty() {
            let _ = writeln!(
                text,
                "{name}, {} {}: a reading looks wrong: look it up first, since neither repeats nor instruments mend that",
                if odd.len() == 1 { "run" } else { "runs" },
                odd.join(", ")
            );
        }
        text
    }
}
