//! A bench trial reduced to flows.

mod json;

use std::fmt::Write;

use serde_json::{Value, json};

use super::csv::{run_cells, run_header, unit_key};
use super::number::{UnitSystem, short};
use super::table;
use crate::air::AirState;
use crate::error::Error;
use crate::trial::{
    Budget, Instruments, Measured, NoFlowRun, ReducedRun, Repeats, Run, USUALLY_WANTED, Uncertain,
    no_flow, reduce,
};
use crate::units::{MassRate, Ratio, VolumeRate, percent, ratio, second};
use json::{no_flow_json, run_json};

/// What a report of a trial states its numbers for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialTerms {
    /// Coverage probability of the intervals.
    pub level: Ratio,
    /// Relative standard uncertainty that is wanted of each flow, for the advice.
    pub wanted: Ratio,
}

impl Default for TrialTerms {
    /// Intervals of 95 %; [`USUALLY_WANTED`].
    fn default() -> Self {
        Self {
            level: Ratio::new::<percent>(95.0),
            wanted: Ratio::new::<ratio>(USUALLY_WANTED),
        }
    }
}

/// Every run of a trial, reduced.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TrialReport {
    /// What the numbers are stated for.
    pub terms: TrialTerms,
    /// The runs in which water came, in their order.
    pub runs: Vec<ReducedRun>,
    /// The others.
    pub no_flow: Vec<NoFlowRun>,
    /// Limits and advice of each run.
    lines: Vec<RunLine>,
    /// Air of each of the others.
    no_flow_air: Vec<AirLine>,
}

/// Air at 20 °C and 101.325 kPa, dry, with its limits.
#[derive(Debug, Clone, Copy, PartialEq)]
struct AirLine {
    air: Uncertain<VolumeRate>,
    limits: (VolumeRate, VolumeRate),
}

impl AirLine {
    fn of(air: &Measured<MassRate>, terms: &TrialTerms) -> Result<Self, Error> {
        let air = air.volume_rate_at(&AirState::DRY_20_C)?;
        let limits = air.interval(terms.level)?;
        Ok(Self { air, limits })
    }

    /// As cells of CSV, in a unit of the given size.
    fn cells(&self, size: f64) -> String {
        let (low, high) = self.limits;
        let all = [self.air.value, self.air.standard, low, high];
        all.map(|flow| (flow.value / size).to_string()).join(",")
    }

    fn text(&self, size: f64) -> String {
        plus_minus(self.air.value.value, self.limits.1.value, size)
    }
}

/// What is derived from one run.
#[derive(Debug, Clone, PartialEq)]
struct RunLine {
    water: (VolumeRate, VolumeRate),
    air: AirLine,
    ratio_limits: (Ratio, Ratio),
    water_advice: String,
    air_advice: String,
}

impl RunLine {
    fn of(run: &ReducedRun, terms: &TrialTerms) -> Result<Self, Error> {
        let advice = |budget: &Budget| budget.advice(terms.wanted).map(|advice| advice.to_string());
        Ok(Self {
            water: run.water_flow.value.interval(terms.level)?,
            air: AirLine::of(&run.air, terms)?,
            ratio_limits: run.air_to_water.ratio.interval(terms.level)?,
            water_advice: advice(&run.water_flow.budget)?,
            air_advice: advice(&run.air.budget)?,
        })
    }
}

impl TrialReport {
    /// Reduces the runs of a trial.
    ///
    /// # Errors
    /// As [`reduce`]; [`Error::OutOfRange`] for terms outside [`LEVEL`](crate::trial::LEVEL) or
    /// [`WANTED`](crate::trial::WANTED).
    pub fn of(runs: &[Run], instruments: &Instruments, terms: TrialTerms) -> Result<Self, Error> {
        let no_flow = no_flow(runs, instruments)?;
        let runs = reduce(runs, instruments)?;
        let lines = runs
            .iter()
            .map(|run| RunLine::of(run, &terms))
            .collect::<Result<_, _>>()?;
        let air = |run: &NoFlowRun| AirLine::of(&run.air, &terms);
        Ok(Self {
            no_flow_air: no_flow.iter().map(air).collect::<Result<_, _>>()?,
            terms,
            runs,
            no_flow,
            lines,
        })
    }

    /// The JSON shape `risewater.trial/1`.
    #[must_use]
    pub fn json(&self) -> Value {
        let runs: Vec<Value> = self
            .runs
            .iter()
            .zip(&self.lines)
            .map(|(run, line)| run_json(run, line))
            .collect();
        json!({
            "schema": "risewater.trial/1",
            "coverage_level": self.terms.level.get::<ratio>(),
            "wanted_relative_standard": self.terms.wanted.get::<ratio>(),
            "runs": runs,
            "no_flow": self.no_flow.iter().map(no_flow_json).collect::<Vec<_>>(),
        })
    }

    /// CSV with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        let ((air, air_unit), (water, water_unit)) = (units.air_unit(), units.water_unit());
        let mut text = format!(
            "{},water_{w},water_standard_{w},water_low_{w},water_high_{w},air_dry_20c_101325pa_{a},air_standard_{a},air_low_{a},air_high_{a},air_to_water,air_to_water_standard,correlation,water_dominant,air_dominant,outliers\n",
            run_header(units),
            w = unit_key(water_unit),
            a = unit_key(air_unit),
        );
        for (run, line) in self.runs.iter().zip(&self.lines) {
            let (flow, joint) = (&run.water_flow.value, &run.air_to_water);
            let dominant = |budget: &Budget| budget.dominant().map_or("", |source| source.code());
            // Writing to a string cannot fail.
            let _ = writeln!(
                text,
                "{},{},{},{},{},{},{},{},{},{},{},{}",
                run_cells(
                    [&run.label, &run.configuration],
                    [run.submergence.value, run.lift.value],
                    units
                ),
                flow.value.value / water,
                flow.standard.value / water,
                line.water.0.value / water,
                line.water.1.value / water,
                line.air.cells(air),
                joint.ratio.value.value,
                joint.ratio.standard.value,
                joint.correlation.value,
                dominant(&run.water_flow.budget),
                dominant(&run.air.budget),
                repeats(run)
                    .map(|(_, repeats)| repeats.outliers.len())
                    .sum::<usize>(),
            );
        }
        for (run, line) in self.no_flow.iter().zip(&self.no_flow_air) {
            let _ = writeln!(
                text,
                "{},0,,,,{},,,,,{},",
                run_cells(
                    [&run.label, &run.configuration],
                    [run.submergence, run.lift],
                    units
                ),
                line.cells(air),
                run.air.budget.dominant().map_or("", |source| source.code()),
            );
        }
        text
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let (air, water) = (units.air_unit(), units.water_unit());
        let header = [
            "run",
            "configuration",
            "submergence",
            "lift",
            &format!("water {}", water.1),
            &format!("air {}", air.1),
            "air/water",
            "water dominated by",
            "air dominated by",
        ];
        let rows = self.runs.iter().zip(&self.lines).map(|(run, line)| {
            let dominant = |budget: &Budget| {
                budget
                    .dominant()
                    .map_or_else(String::new, |source| source.to_string())
            };
            [
                run.label.clone(),
                run.configuration.clone(),
                units.height(run.submergence.value),
                units.height(run.lift.value),
                plus_minus(
                    run.water_flow.value.value.value,
                    line.water.1.value,
                    water.0,
                ),
                line.air.text(air.0),
                plus_minus(
                    run.air_to_water.ratio.value.value,
                    line.ratio_limits.1.value,
                    1.0,
                ),
                dominant(&run.water_flow.budget),
                dominant(&run.air.budget),
            ]
        });
        let others = self
            .no_flow
            .iter()
            .zip(&self.no_flow_air)
            .map(|(run, line)| {
                [
                    run.label.clone(),
                    run.configuration.clone(),
                    units.height(run.submergence),
                    units.height(run.lift),
                    "no flow".to_owned(),
                    line.text(air.0),
                    "-".to_owned(),
                    String::new(),
                    run.air
                        .budget
                        .dominant()
                        .map_or_else(String::new, |source| source.to_string()),
                ]
            });
        let mut text = table(header, rows.chain(others));
        let _ = writeln!(
            text,
            "\nAir is dry, at {}. Limits hold the true value with {:.0} % (Student's t).",
            units.air_state(),
            self.terms.level.get::<percent>()
        );
        for run in &self.runs {
            for (what, repeats) in repeats(run) {
                for outlier in &repeats.outliers {
                    let _ = writeln!(
                        text,
                        "Run {}: {what} time {}, {:.2} s, is out of line with the others (modified z-score {:.1}); it is kept, so look it up.",
                        run.label,
                        outlier.repeat,
                        outlier.time.get::<second>(),
                        outlier.score.get::<ratio>(),
                    );
                }
            }
        }
        text += &self.advice();
        text
    }

    /// What to improve first: advice on the least certain water and air flow.
    fn advice(&self) -> String {
        let worst = |relative: fn(&ReducedRun) -> Ratio| {
            let pairs = self.runs.iter().zip(&self.lines);
            pairs.max_by(|(a, _), (b, _)| relative(a).value.total_cmp(&relative(b).value))
        };
        let mut text = String::new();
        let of_water = worst(|run| run.water_flow.budget.relative);
        let of_air = worst(|run| run.air.budget.relative);
        let wanted = self.terms.wanted.get::<percent>();
        if let (Some((w, water)), Some((a, air))) = (of_water, of_air) {
            let _ = write!(
                text,
                "\nFor a standard uncertainty of {wanted} %:\nWater, run {} ({:.2} %): {}\nAir, run {} ({:.2} %): {}\n",
                w.label,
                w.water_flow.budget.relative.get::<percent>(),
                water.water_advice,
                a.label,
                a.air.budget.relative.get::<percent>(),
                air.air_advice,
            );
        }
        text
    }
}

/// The repeated times of a run, by what they are of.
fn repeats(run: &ReducedRun) -> impl Iterator<Item = (&'static str, &Repeats)> {
    let water = run
        .water_flow
        .repeats
        .as_ref()
        .map(|repeats| ("water", repeats));
    water
        .into_iter()
        .chain(run.air.repeats.as_ref().map(|repeats| ("air", repeats)))
}

/// Value and half-width of its interval, in a unit of the given size.
fn plus_minus(value: f64, high: f64, size: f64) -> String {
    format!(
        "{} +/- {:.1} %",
        short(value / size),
        100.0 * (high - value) / value
    )
}
