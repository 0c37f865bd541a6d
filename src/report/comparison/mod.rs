//! Measured against predicted, and one configuration against another.

#[cfg(feature = "chart")]
mod residuals;

use std::fmt::Write;

use serde_json::{Value, json};

use super::csv::{quoted, run_cells, run_header, unit_key};
use super::interval::{ends, interval_json, odds};
use super::number::{UnitSystem, place, short};
use super::table;
use crate::error::Error;
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::trial::{
    Agreement, Comparison, Matching, NoFlowAgreement, NoFlowRun, Overall, Pair, ReducedRun,
    RunAgreement, Verdict, WrongWay, wrong_ways,
};
use crate::units::{
    Ratio, base, cubic_meter_per_second, kilogram_per_second, meter, percent, ratio,
};

/// What a trial says of theory, and of its configurations.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ComparisonReport {
    /// The closures that predict.
    pub model: Model,
    /// Measured against predicted.
    pub agreement: Agreement,
    /// Runs in which no water came against predicted.
    pub no_flow: Vec<NoFlowAgreement>,
    /// One configuration against another, where two were asked for.
    pub comparison: Option<Comparison>,
    /// Runs that go against expectation.
    pub wrong_ways: Vec<WrongWay>,
}

impl ComparisonReport {
    /// Compares runs with the prediction of their risers, and two configurations where they are named.
    ///
    /// # Errors
    /// As [`Agreement::of`] and [`Comparison::of`].
    pub fn of(
        runs: &[ReducedRun],
        model: Model,
        riser: impl Fn(&ReducedRun) -> RiserSpec + Copy,
        configurations: Option<[&str; 2]>,
        matching: Matching,
    ) -> Result<Self, Error> {
        Ok(Self {
            model,
            agreement: Agreement::of(runs, model, riser)?,
            no_flow: Vec::new(),
            comparison: configurations
                .map(|names| Comparison::of(runs, names, model, riser, matching))
                .transpose()?,
            wrong_ways: wrong_ways(runs, model, riser)?,
        })
    }

    /// With runs in which no water came.
    ///
    /// # Errors
    /// As [`NoFlowAgreement::of`].
    pub fn with_no_flow(
        mut self,
        runs: &[NoFlowRun],
        riser: impl Fn(&NoFlowRun) -> RiserSpec,
    ) -> Result<Self, Error> {
        let held = |run| NoFlowAgreement::of(run, &riser(run), self.model);
        self.no_flow = runs.iter().map(held).collect::<Result<_, _>>()?;
        Ok(self)
    }

    /// The JSON shape `risewater.comparison/2`.
    #[must_use]
    pub fn json(&self) -> Value {
        let runs: Vec<Value> = self.agreement.runs.iter().map(run_json).collect();
        let wrong: Vec<Value> = self
            .wrong_ways
            .iter()
            .map(|way| json!({ "from": way.from, "to": way.to, "message": way.to_string() }))
            .collect();
        json!({
            "schema": "risewater.comparison/2",
            "model": self.model.to_string(),
            "runs": runs,
            "no_flow": self.no_flow.iter().map(no_flow_json).collect::<Vec<_>>(),
            "overall": self.agreement.overall.as_ref().map(overall_json),
            "by_configuration": self.agreement.by_configuration.iter().map(|(name, overall)| {
                let mut json = overall_json(overall);
                json["configuration"] = name.as_str().into();
                json
            }).collect::<Vec<_>>(),
            "configurations": self.comparison.as_ref().map(comparison_json),
            "verdicts": Verdict::ALL.iter().map(|one| json!({
                "verdict": one.code(),
                "meaning": one.meaning(),
            })).collect::<Vec<_>>(),
            "wrong_ways": wrong,
        })
    }

    /// The runs as CSV, with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        let ((air, air_unit), (water, water_unit)) = (units.air_unit(), units.water_unit());
        let (w, a) = (unit_key(water_unit), unit_key(air_unit));
        let mut text = format!(
            "{},air_dry_20c_101325pa_{a},measured_{w},predicted_{w},interval_low_{w},interval_high_{w},predicted_over_measured,predicted_over_measured_low,predicted_over_measured_high,within_interval,verdict\n",
            run_header(units)
        );
        for run in &self.agreement.runs {
            // Writing to a string cannot fail.
            let _ = writeln!(
                text,
                "{},{},{},{},{},{},{},{},{},{},{}",
                run_cells(
                    [&run.label, &run.configuration],
                    [run.submergence, run.lift],
                    units
                ),
                run.air.volume_rate_at_20_c().value / air,
                run.measured.value / water,
                run.predicted.value / water,
                cell(run.interval.map(|found| found.low.value / water)),
                cell(run.interval.map(|found| found.high.value / water)),
                run.ratio.get::<ratio>(),
                cell(run.limits.map(|(low, _)| low.get::<ratio>())),
                cell(run.limits.map(|(_, high)| high.get::<ratio>())),
                cell(run.within_interval),
                run.verdict.code(),
            );
        }
        for run in &self.no_flow {
            let _ = writeln!(
                text,
                "{},{},0,{},{},{},,,,,{}",
                run_cells(
                    [&run.label, &run.configuration],
                    [run.submergence, run.lift],
                    units
                ),
                run.air.volume_rate_at_20_c().value / air,
                run.predicted.value / water,
                cell(run.interval.map(|found| found.low.value / water)),
                cell(run.interval.map(|found| found.high.value / water)),
                run.verdict.code(),
            );
        }
        text
    }

    /// The pairs as CSV, with units in the header; none where no configurations are compared.
    #[must_use]
    pub fn pairs_csv(&self, units: UnitSystem) -> Option<String> {
        let comparison = self.comparison.as_ref()?;
        let (size, h) = units.height_unit();
        let mut text = format!(
            "first_run,first_configuration,second_run,second_configuration,submergence_{h},lift_{h},air_difference,slope,log_difference,water_difference_at_equal_air,matched\n"
        );
        for pair in &comparison.pairs {
            // Writing to a string cannot fail.
            let _ = writeln!(
                text,
                "{},{},{},{},{},{},{},{},{},{},{}",
                quoted(&pair.first),
                quoted(&comparison.first),
                quoted(&pair.second),
                quoted(&comparison.second),
                pair.submergence.value / size,
                pair.lift.value / size,
                pair.air_difference.get::<ratio>(),
                cell(pair.slope),
                pair.log_difference,
                pair.log_difference.exp_m1(),
                pair.matched.code(),
            );
        }
        Some(text)
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let (air, water) = (units.air_unit(), units.water_unit());
        let header = [
            "run",
            "configuration",
            "depth",
            "lift",
            &format!("air {}", air.1),
            &format!("measured {}", water.1),
            "predicted",
            "interval",
            "theory",
            "95 %",
            "verdict",
        ];
        let rows = self.agreement.runs.iter().map(|run| {
            [
                run.label.clone(),
                run.configuration.clone(),
                units.height(run.submergence),
                units.height(run.lift),
                short(run.air.volume_rate_at_20_c().value / air.0),
                short(run.measured.value / water.0),
                short(run.predicted.value / water.0),
                ends(run.interval.map(Into::into), units),
                format!("{:+.1} %", 100.0 * (run.ratio.get::<ratio>() - 1.0)),
                run.limits.map_or("-".into(), |limits| {
                    let [low, high] =
                        [limits.0, limits.1].map(|limit| 100.0 * (limit.get::<ratio>() - 1.0));
                    format!("{low:+.1} to {high:+.1} %")
                }),
                run.verdict.to_string(),
            ]
        });
        let mut text = format!("Model   {}\n\n", self.model.worded(units));
        let others = self.no_flow.iter().map(|run| {
            [
                run.label.clone(),
                run.configuration.clone(),
                units.height(run.submergence),
                units.height(run.lift),
                short(run.air.volume_rate_at_20_c().value / air.0),
                "no flow".to_owned(),
                short(run.predicted.value / water.0),
                ends(run.interval.map(Into::into), units),
                "-".to_owned(),
                "-".to_owned(),
                run.verdict.to_string(),
            ]
        });
        text += &table(header, rows.chain(others));
        text += &format!(
            "\nTheory is predicted over measured, less one, with its 95 % limits by the readings.\nAir is dry, at {}.\n",
            units.air_state()
        );
        let intervals = self.agreement.runs.iter().map(|run| run.interval);
        if let Some(found) = intervals.flatten().next() {
            text += &format!(
                "The true flow lies in the interval of the prediction {}.\n",
                odds(found.level.value)
            );
        }
        text += &self.outside_interval();
        text += &self.verdicts();
        text += &self.conclusions();
        if let Some(comparison) = &self.comparison {
            pairs_text(comparison, units, &mut text);
        }
        for way in &self.wrong_ways {
            let _ = writeln!(text, "\nRemark: {}.", way.worded(units));
        }
        text
    }

    /// The runs whose reading lies outside the interval of the prediction.
    fn outside_interval(&self) -> String {
        let outside = self.agreement.runs.iter();
        let outside = outside.filter(|run| run.within_interval == Some(false));
        let labels: Vec<&str> = outside.map(|run| run.label.as_str()).collect();
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
        let runs = self.agreement.runs.iter().map(|run| run.verdict);
        let given: Vec<Verdict> = runs
            .chain(self.no_flow.iter().map(|run| run.verdict))
            .collect();
        let always = [Verdict::Agrees, Verdict::Differs, Verdict::CannotTell];
        let shown = Verdict::ALL.iter();
        let shown = shown.filter(|one| always.contains(one) || given.contains(one));
        let words: Vec<String> = shown
            .map(|one| format!("{one} ({})", one.meaning()))
            .collect();
        format!("Verdicts: {}.\n", words.join(";\n          "))
    }

    /// One line on all runs, and on each configuration.
    fn conclusions(&self) -> String {
        let line = |name: &str, overall: &Overall| {
            let interval = overall.interval.map_or(String::new(), |(low, high)| {
                format!(
                    " (95 %: {:+.1} to {:+.1} %)",
                    low.get::<percent>(),
                    high.get::<percent>()
                )
            });
            format!(
                "{name}, {} run{}: theory {:+.1} %{interval}, rms log error {:.3}: {}.\n",
                overall.runs,
                if overall.runs == 1 { "" } else { "s" },
                overall.bias.get::<percent>(),
                overall.rms_log_error,
                overall.verdict,
            )
        };
        if self.agreement.runs.is_empty() {
            return String::new();
        }
        let Some(overall) = &self.agreement.overall else {
            return "\nTheory lets no water flow in any of these runs.\n".to_owned();
        };
        let mut text = format!("\n{}", line("On the whole", overall));
        for (name, overall) in &self.agreement.by_configuration {
            text += &line(&format!("{name:?}"), overall);
        }
        text + "The intervals are of the runs' own scatter: an error that all runs share is not in them.\n"
    }
}

fn pairs_text(comparison: &Comparison, units: UnitSystem, text: &mut String) {
    let (depth, depth_unit) = units.height_unit();
    let lifts = comparison.pairs.iter().map(|pair| pair.lift);
    let highest = lifts.fold(
        base(0.0),
        |most, lift| if lift > most { lift } else { most },
    );
    let (lift, lift_unit) = units.small_height_unit(highest);
    let rows = comparison.pairs.iter().map(|pair| {
        [
            format!("{} and {}", pair.first, pair.second),
            place(pair.submergence.value / depth),
            place(pair.lift.value / lift),
            format!("{:+.1} %", pair.air_difference.get::<percent>()),
            format!("{:+.1} %", 100.0 * (pair.log_difference.exp() - 1.0)),
        ]
    });
    let _ = write!(
        text,
        "\n{:?} against {:?}, pair by pair:\n\n{}\n",
        comparison.second,
        comparison.first,
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
    if let Some(matching) = comparison.matching_statement() {
        let _ = writeln!(text, "{matching}");
    }
    let _ = writeln!(text, "{}", comparison.statement());
    for (run, why) in &comparison.unpaired {
        let _ = writeln!(text, "Run {run} is not compared: {why}.");
    }
}

/// A cell of CSV, empty for none.
fn cell(value: Option<impl ToString>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

fn limits(interval: Option<(Ratio, Ratio)>) -> (Option<f64>, Option<f64>) {
    interval
        .map(|(low, high)| (low.get::<ratio>(), high.get::<ratio>()))
        .unzip()
}

fn run_json(run: &RunAgreement) -> Value {
    let (low, high) = limits(run.limits);
    json!({
        "run": run.label,
        "configuration": run.configuration,
        "submergence_m": run.submergence.get::<meter>(),
        "lift_m": run.lift.get::<meter>(),
        "air_mass_flow_kg_per_s": run.air.dry_mass_rate().get::<kilogram_per_second>(),
        "water_flow_m3_per_s": run.measured.get::<cubic_meter_per_second>(),
        "predicted_water_flow_m3_per_s": run.predicted.get::<cubic_meter_per_second>(),
        "interval": interval_json(run.interval.as_ref()),
        "predicted_over_measured": run.ratio.get::<ratio>(),
        "predicted_over_measured_low": low,
        "predicted_over_measured_high": high,
        "measured_relative_standard": run.measured_standard.map(|u| u.get::<ratio>()),
        "within_interval": run.within_interval,
        "verdict": run.verdict.code(),
        "message": run.verdict.to_string(),
    })
}

fn no_flow_json(run: &NoFlowAgreement) -> Value {
    json!({
        "run": run.label,
        "configuration": run.configuration,
        "submergence_m": run.submergence.get::<meter>(),
        "lift_m": run.lift.get::<meter>(),
        "air_mass_flow_kg_per_s": run.air.dry_mass_rate().get::<kilogram_per_second>(),
        "predicted_water_flow_m3_per_s": run.predicted.get::<cubic_meter_per_second>(),
        "interval": interval_json(run.interval.as_ref()),
        "verdict": run.verdict.code(),
        "message": run.verdict.to_string(),
    })
}

fn overall_json(overall: &Overall) -> Value {
    let (low, high) = limits(overall.interval);
    json!({
        "runs": overall.runs,
        "bias": overall.bias.get::<ratio>(),
        "bias_low": low,
        "bias_high": high,
        "rms_log_error": overall.rms_log_error,
        "verdict": overall.verdict.code(),
        "message": overall.verdict.to_string(),
    })
}

fn comparison_json(comparison: &Comparison) -> Value {
    let pair = |pair: &Pair| {
        json!({
            "first": pair.first,
            "second": pair.second,
            "matched": pair.matched.code(),
            "submergence_m": pair.submergence.get::<meter>(),
            "lift_m": pair.lift.get::<meter>(),
            "air_difference": pair.air_difference.get::<ratio>(),
            "slope": pair.slope,
            "log_difference": pair.log_difference,
        })
    };
    let pairs: Vec<Value> = comparison.pairs.iter().map(pair).collect();
    let unpaired: Vec<Value> = comparison
        .unpaired
        .iter()
        .map(|(run, why)| json!({ "run": run, "code": why.code(), "message": why.to_string() }))
        .collect();
    let (low, high) = limits(comparison.interval);
    json!({
        "first": comparison.first,
        "second": comparison.second,
        "difference": comparison.difference.map(|d| d.get::<ratio>()),
        "difference_low": low,
        "difference_high": high,
        "verdict": comparison.verdict.code(),
        "pairs_needed": comparison.pairs_needed,
        "message": comparison.statement(),
        "pairs": pairs,
        "unpaired": unpaired,
    })
}
