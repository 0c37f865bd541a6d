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
    Bench, Budget, Doubt, Fluid, Instruments, Measured, NoFlowRun, OUTLIER_RATE, ReducedRun,
    Repeats, Run, USUALLY_WANTED, Uncertain, doubts, no_flow, reduce,
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
    /// Readings that look wrong; they are used all the same.
    pub doubts: Vec<Doubt>,
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
    /// What to improve first; none where a reading is to be looked up first.
    water_advice: Option<String>,
    air_advice: Option<String>,
}

/// What stands in place of advice where a reading looks wrong.
const LOOK_FIRST: &str =
    "a reading looks wrong: look it up first, since neither repeats nor instruments mend that";

impl RunLine {
    fn of(run: &ReducedRun, terms: &TrialTerms, doubts: &[Doubt]) -> Result<Self, Error> {
        let advice = |budget: &Budget, fluid: Fluid| -> Result<Option<String>, Error> {
            let mut times = repeats(run).filter(|(of, _)| *of == fluid);
            let in_line = times.all(|(_, repeats)| repeats.outliers.is_empty());
            if !in_line || doubts.iter().any(|doubt| doubt.is_of(&run.label, fluid)) {
                return Ok(None);
            }
            Ok(Some(budget.advice(terms.wanted)?.to_string()))
        };
        Ok(Self {
            water: run.water_flow.value.interval(terms.level)?,
            air: AirLine::of(&run.air, terms)?,
            ratio_limits: run.air_to_water.ratio.interval(terms.level)?,
            water_advice: advice(&run.water_flow.budget, Fluid::Water)?,
            air_advice: advice(&run.air.budget, Fluid::Air)?,
        })
    }
}

impl TrialReport {
    /// Reduces the runs of a trial. With a bench, readings are held against what it plans too.
    ///
    /// # Errors
    /// As [`reduce`] and [`doubts`]; [`Error::OutOfRange`] for terms outside [`LEVEL`](crate::uncertainty::LEVEL) or
    /// [`WANTED`](crate::trial::WANTED).
    pub fn of(
        runs: &[Run],
        bench: Option<&Bench>,
        instruments: &Instruments,
        terms: TrialTerms,
    ) -> Result<Self, Error> {
        let doubts = doubts(runs, bench)?;
        let no_flow = no_flow(runs, instruments)?;
        let runs = reduce(runs, instruments)?;
        let lines = runs
            .iter()
            .map(|run| RunLine::of(run, &terms, &doubts))
            .collect::<Result<_, _>>()?;
        let air = |run: &NoFlowRun| AirLine::of(&run.air, &terms);
        Ok(Self {
            no_flow_air: no_flow.iter().map(air).collect::<Result<_, _>>()?,
            terms,
            runs,
            no_flow,
            doubts,
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
            "cautions": self.doubts.iter().map(|doubt| json!({ "code": doubt.code(), "message": doubt.to_string() })).collect::<Vec<_>>(),
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
        text += &self.outliers();
        text += &self.advice();
        text
    }

    /// The repeats out of line, and at which rate of false alarms they are shown.
    fn outliers(&self) -> String {
        let mut text = String::new();
        for run in &self.runs {
            for (what, repeats) in repeats(run) {
                for outlier in &repeats.outliers {
                    let _ = writeln!(
                        text,
                        "Run {}: {what} time {}, {:.2} s, is out of line with the others; it is kept, so look it up.",
                        run.label,
                        outlier.repeat,
                        outlier.time.get::<second>(),
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
        let wanted = self.terms.wanted.get::<percent>();
        let water = self.advice_on(
            "Water",
            |run| run.water_flow.budget.relative,
            |line| line.water_advice.as_ref(),
        );
        let air = self.advice_on(
            "Air",
            |run| run.air.budget.relative,
            |line| line.air_advice.as_ref(),
        );
        format!("\nFor a standard uncertainty of {wanted} %:\n{water}{air}")
    }

    fn advice_on(
        &self,
        name: &str,
        relative: fn(&ReducedRun) -> Ratio,
        advice: fn(&RunLine) -> Option<&String>,
    ) -> String {
        let pairs = || self.runs.iter().zip(&self.lines);
        let sound = pairs().filter_map(|(run, line)| Some((run, advice(line)?)));
        let worst = sound.max_by(|(a, _), (b, _)| relative(a).value.total_cmp(&relative(b).value));
        let mut text = match worst {
            Some((run, advice)) => format!(
                "{name}, run {} ({:.2} %): {advice}\n",
                run.label,
                relative(run).get::<percent>(),
            ),
            None => format!("{name}: no run whose readings all look right\n"),
        };
        let odd = pairs().filter(|(_, line)| advice(line).is_none());
        let odd: Vec<&str> = odd.map(|(run, _)| run.label.as_str()).collect();
        if !odd.is_empty() {
            let runs = if odd.len() == 1 { "run" } else { "runs" };
            // Writing to a string cannot fail.
            let _ = writeln!(text, "{name}, {runs} {}: {LOOK_FIRST}", odd.join(", "));
        }
        text
    }
}

/// The repeated times of a run, by what they are of.
fn repeats(run: &ReducedRun) -> impl Iterator<Item = (Fluid, &Repeats)> {
    let water = run
        .water_flow
        .repeats
        .as_ref()
        .map(|repeats| (Fluid::Water, repeats));
    water.into_iter().chain(
        run.air
            .repeats
            .as_ref()
            .map(|repeats| (Fluid::Air, repeats)),
    )
}

/// Value and half-width of its interval, in a unit of the given size.
fn plus_minus(value: f64, high: f64, size: f64) -> String {
    format!(
        "{} +/- {:.1} %",
        short(value / size),
        100.0 * (high - value) / value
    )
}
