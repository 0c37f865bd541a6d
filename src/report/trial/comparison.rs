//! Measured against predicted, and one configuration against another.

use std::fmt::Write;

use crate::air::at_20_c;
use crate::answer::{
    ComparedFlow, ComparedRun, ComparisonAnswer, OverallFacts, PairFacts, PairsFacts,
};
use crate::report::interval::{ends, odds};
use crate::report::kind::{Column, Kind, csv_table, text_table};
use crate::report::number::{UnitSystem, place, short};
use crate::report::table;
use crate::report::wrapped;
use crate::trial::Verdict;
use crate::units::base;

const RUNS: [Column<ComparedRun>; 20] = [
    Column::new("run", "run", Kind::Plain, |r, _| (&r.at.run).into()),
    Column::new("setup", "configuration", Kind::Plain, |r, _| {
        (&r.configuration).into()
    }),
    Column::new("depth", "submergence_{}", Kind::Place, |r, _| {
        r.at.submergence_m.into()
    }),
    Column::new("lift", "lift_{}", Kind::Place, |r, _| r.at.lift_m.into()),
    Column::new("air", "air_dry_20c_101325pa_{}", Kind::Air, |r, _| {
        at_20_c(r.at.air_mass_flow_kg_per_s).into()
    }),
    Column::shown("measured", Kind::Water, |r, units| {
        let flow = r.measured.map(|flow| flow.water_flow_m3_per_s);
        let words = |flow| short(flow / units.water_unit().0);
        flow.map_or("no flow".to_owned(), words).into()
    }),
    Column::saved("measured_{}", Kind::Water, |r, _| {
        r.measured
            .map_or(0.0, |flow| flow.water_flow_m3_per_s)
            .into()
    }),
    Column::shown("model", Kind::Plain, |r, units| {
        (r.predicted_water_flow_m3_per_s / units.water_unit().0).into()
    }),
    Column::saved("predicted_{}", Kind::Water, |r, _| {
        r.predicted_water_flow_m3_per_s.into()
    }),
    Column::shown("interval", Kind::Plain, |r, units| {
        ends(r.interval, units).into()
    }),
    Column::saved("interval_low_{}", Kind::Water, |r, _| {
        r.interval.map(|found| found.low_m3_per_s).into()
    }),
    Column::saved("interval_high_{}", Kind::Water, |r, _| {
        r.interval.map(|found| found.high_m3_per_s).into()
    }),
    Column::shown("theory", Kind::Plain, |r, _| {
        let off = r.measured.map(|flow| flow.predicted_over_measured - 1.0);
        off.map(signed).into()
    }),
    Column::shown("95 %", Kind::Plain, |r, _| {
        r.measured.and_then(limits).into()
    }),
    Column::saved("predicted_over_measured", Kind::Plain, |r, _| {
        r.measured.map(|flow| flow.predicted_over_measured).into()
    }),
    Column::saved("predicted_over_measured_low", Kind::Plain, |r, _| {
        let flow = r.measured;
        flow.and_then(|flow| flow.predicted_over_measured_low)
            .into()
    }),
    Column::saved("predicted_over_measured_high", Kind::Plain, |r, _| {
        let flow = r.measured;
        flow.and_then(|flow| flow.predicted_over_measured_high)
            .into()
    }),
    Column::saved("within_interval", Kind::Plain, |r, _| {
        r.measured.and_then(|flow| flow.within_interval).into()
    }),
    Column::shown("verdict", Kind::Plain, |r, _| r.verdict.to_string().into()),
    Column::saved("verdict", Kind::Plain, |r, _| r.verdict.code().into()),
];

/// A pair, and the configurations that it is of.
type PairRow<'a> = (&'a PairFacts, &'a PairsFacts);

fn pairs<'a>() -> [Column<PairRow<'a>>; 11] {
    [
        Column::saved("first_run", Kind::Plain, |(pair, _), _| {
            (&pair.first).into()
        }),
        Column::saved("first_configuration", Kind::Plain, |(_, all), _| {
            (&all.first).into()
        }),
        Column::saved("second_run", Kind::Plain, |(pair, _), _| {
            (&pair.second).into()
        }),
        Column::saved("second_configuration", Kind::Plain, |(_, all), _| {
            (&all.second).into()
        }),
        Column::saved("submergence_{}", Kind::Height, |(pair, _), _| {
            pair.submergence_m.into()
        }),
        Column::saved("lift_{}", Kind::Height, |(pair, _), _| pair.lift_m.into()),
        Column::saved("air_difference", Kind::Plain, |(pair, _), _| {
            pair.air_difference.into()
        }),
        Column::saved("slope", Kind::Plain, |(pair, _), _| pair.slope.into()),
        Column::saved("log_difference", Kind::Plain, |(pair, _), _| {
            pair.log_difference.into()
        }),
        Column::saved(
            "water_difference_at_equal_air",
            Kind::Plain,
            |(pair, _), _| pair.log_difference.exp_m1().into(),
        ),
        Column::saved("matched", Kind::Plain, |(pair, _), _| {
            pair.matched.code().into()
        }),
    ]
}

/// A difference with its sign.
fn signed(share: f64) -> String {
    format!("{:+.1} %", 100.0 * share)
}

fn limits(flow: ComparedFlow) -> Option<String> {
    let low = flow.predicted_over_measured_low?;
    let high = flow.predicted_over_measured_high?;
    Some(between(low - 1.0, high - 1.0))
}

fn between(low: f64, high: f64) -> String {
    format!("{:+.1} to {:+.1} %", 100.0 * low, 100.0 * high)
}

impl ComparisonAnswer {
    fn all(&self) -> impl Iterator<Item = &ComparedRun> {
        self.runs.iter().chain(&self.no_flow)
    }

    /// The runs as CSV, with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&RUNS, self.all(), units)
    }

    /// The pairs as CSV, with units in the header; none where no configurations are compared.
    #[must_use]
    pub fn pairs_csv(&self, units: UnitSystem) -> Option<String> {
        let of = self.configurations.as_ref()?;
        let rows: Vec<PairRow> = of.pairs.iter().map(|pair| (pair, of)).collect();
        Some(csv_table(&pairs(), &rows, units))
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = self.conclusions();
        text += &text_table(&RUNS, self.all(), units);
        text += &format!(
            "\nTheory is the model's water over the measured, less one, with its 95 % limits by the readings.\nAir is dry, at {}.\n",
            units.air_state()
        );
        if let Some(found) = self.runs.iter().find_map(|run| run.interval) {
            text += &format!(
                "The true flow lies in the interval of the prediction {}.\n",
                odds(found.level)
            );
        }
        text += &self.outside_interval();
        text += &self.verdicts();
        if let Some(found) = &self.configurations {
            pairs_text(found, units, &mut text);
        }
        for way in &self.wrong_ways {
            // Writing to a string cannot fail.
            let _ = writeln!(text, "\nRemark: {}.", way.worded(units));
        }
        text += &format!("\nModel   {}\n", self.model.worded(units));
        wrapped(&text)
    }

    /// The runs whose reading lies outside the interval of the prediction.
    fn outside_interval(&self) -> String {
        let outside = |run: &&ComparedRun| {
            let within = run.measured.and_then(|flow| flow.within_interval);
            within == Some(false)
        };
        let outside = self.runs.iter().filter(outside);
        let labels: Vec<&str> = outside.map(|run| run.at.run.as_str()).collect();
        if labels.is_empty() {
            return String::new();
        }
        format!(
            "Measured outside the interval, by more than the readings explain: {}.\n",
            labels.join(", ")
        )
    }

    /// What the words of the verdicts mean; of those without water, the ones that occur.
    fn verdicts(&self) -> String {
        let always = [Verdict::Agrees, Verdict::Differs, Verdict::CannotTell];
        let given = |one: Verdict| self.all().any(|run| run.verdict == one);
        let shown = self.verdicts.iter();
        let shown = shown.filter(|one| always.contains(&one.verdict) || given(one.verdict));
        let words: Vec<String> = shown
            .map(|one| format!("{} ({})", one.verdict, one.meaning))
            .collect();
        format!("Verdicts  {}.\n", words.join("; "))
    }

    /// One line on all runs, and on each configuration.
    fn conclusions(&self) -> String {
        let line = |name: &str, overall: &OverallFacts| {
            let interval = overall.bias_low.zip(overall.bias_high);
            let interval = interval.map_or(String::new(), |(low, high)| {
                format!(" (95 %: {})", between(low, high))
            });
            format!(
                "{name}, {} run{}: theory {}{interval}, rms log error {:.3}: {}.\n",
                overall.runs,
                if overall.runs == 1 { "" } else { "s" },
                signed(overall.bias),
                overall.rms_log_error,
                overall.verdict,
            )
        };
        if self.runs.is_empty() {
            return String::new();
        }
        let Some(overall) = &self.overall else {
            return "Theory lets no water flow in any of these runs.\n\n".to_owned();
        };
        let mut text = line("On the whole", overall);
        for one in &self.by_configuration {
            text += &line(&format!("{:?}", one.configuration), &one.overall);
        }
        text + "The intervals are of the runs' own scatter: an error that all runs share is not in them.\n\n"
    }
}

fn pairs_text(found: &PairsFacts, units: UnitSystem, text: &mut String) {
    let (depth, depth_unit) = units.height_unit();
    let highest = found.pairs.iter().map(|pair| pair.lift_m);
    let (lift, lift_unit) = units.small_height_unit(base(highest.fold(0.0, f64::max)));
    let rows = found.pairs.iter().map(|pair| {
        [
            format!("{} and {}", pair.first, pair.second),
            place(pair.submergence_m / depth),
            place(pair.lift_m / lift),
            signed(pair.air_difference),
            signed(pair.log_difference.exp() - 1.0),
        ]
    });
    let _ = write!(
        text,
        "\n{:?} against {:?}, pair by pair:\n\n{}\n",
        found.second,
        found.first,
        table(
            [
                "pair",
                &format!("depth {depth_unit}"),
                &format!("lift {lift_unit}"),
                "air",
                "water at equal air",
            ],
            rows
        )
    );
    if let Some(matching) = &found.matching {
        let _ = writeln!(text, "{matching}");
    }
    let _ = writeln!(text, "{}", found.message);
    for one in &found.unpaired {
        let _ = writeln!(text, "Run {} is not compared: {}.", one.run, one.why);
    }
}
