//! A bench trial reduced to flows.

use std::fmt::Write;

use serde_json::{Value, json};

use super::csv::{run_cells, run_header, unit_key};
use super::number::{UnitSystem, short};
use super::{site_json, table};
use crate::air::AirState;
use crate::error::Error;
use crate::trial::{
    Budget, Instruments, Measured, ReducedRun, Repeats, Run, USUALLY_WANTED, Uncertain, reduce,
};
use crate::units::{
    Length, Ratio, Time, VolumeRate, cubic_meter_per_second, kilogram_per_second, meter, percent,
    ratio, second,
};

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
    /// The runs, in their order.
    pub runs: Vec<ReducedRun>,
    /// Limits and advice of each run.
    lines: Vec<RunLine>,
}

/// What is derived from one run.
#[derive(Debug, Clone, PartialEq)]
struct RunLine {
    water: (VolumeRate, VolumeRate),
    /// Air at 20 °C and 101.325 kPa, dry.
    air: Uncertain<VolumeRate>,
    air_limits: (VolumeRate, VolumeRate),
    ratio_limits: (Ratio, Ratio),
    water_advice: String,
    air_advice: String,
}

impl RunLine {
    fn of(run: &ReducedRun, terms: &TrialTerms) -> Result<Self, Error> {
        let air = run.air.volume_rate_at(&AirState::DRY_20_C)?;
        let advice = |budget: &Budget| budget.advice(terms.wanted).map(|advice| advice.to_string());
        Ok(Self {
            water: run.water_flow.value.interval(terms.level)?,
            air,
            air_limits: air.interval(terms.level)?,
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
        let runs = reduce(runs, instruments)?;
        let lines = runs
            .iter()
            .map(|run| RunLine::of(run, &terms))
            .collect::<Result<_, _>>()?;
        Ok(Self { terms, runs, lines })
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
                "{},{},{},{},{},{},{},{},{},{},{},{},{},{},{}",
                run_cells(
                    [&run.label, &run.configuration],
                    [run.submergence.value, run.lift.value],
                    units
                ),
                flow.value.value / water,
                flow.standard.value / water,
                line.water.0.value / water,
                line.water.1.value / water,
                line.air.value.value / air,
                line.air.standard.value / air,
                line.air_limits.0.value / air,
                line.air_limits.1.value / air,
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
                plus_minus(line.air.value.value, line.air_limits.1.value, air.0),
                plus_minus(
                    run.air_to_water.ratio.value.value,
                    line.ratio_limits.1.value,
                    1.0,
                ),
                dominant(&run.water_flow.budget),
                dominant(&run.air.budget),
            ]
        });
        let mut text = table(header, rows);
        let _ = writeln!(
            text,
            "\nAir is dry, at 20 degC and 101.325 kPa. Limits hold the true value with {:.0} % (Student's t).",
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

fn run_json(run: &ReducedRun, line: &RunLine) -> Value {
    let place =
        |length: &Uncertain<Length>| (length.value.get::<meter>(), length.standard.get::<meter>());
    let (submergence, lift) = (place(&run.submergence), place(&run.lift));
    let water = &run.water_flow.value;
    let air = &run.air.value;
    let joint = &run.air_to_water;
    // Air limits scale with the air itself.
    let per_volume =
        air.value.get::<kilogram_per_second>() / line.air.value.get::<cubic_meter_per_second>();
    json!({
        "run": run.label,
        "configuration": run.configuration,
        "submergence_m": submergence.0,
        "submergence_standard_m": submergence.1,
        "lift_m": lift.0,
        "lift_standard_m": lift.1,
        "water_flow_m3_per_s": water.value.get::<cubic_meter_per_second>(),
        "water_flow_standard_m3_per_s": water.standard.get::<cubic_meter_per_second>(),
        "water_flow_low_m3_per_s": line.water.0.get::<cubic_meter_per_second>(),
        "water_flow_high_m3_per_s": line.water.1.get::<cubic_meter_per_second>(),
        "water": measured_json(&run.water_flow, &line.water_advice),
        "air_mass_flow_kg_per_s": air.value.get::<kilogram_per_second>(),
        "air_mass_flow_standard_kg_per_s": air.standard.get::<kilogram_per_second>(),
        "air_mass_flow_low_kg_per_s": line.air_limits.0.get::<cubic_meter_per_second>() * per_volume,
        "air_mass_flow_high_kg_per_s": line.air_limits.1.get::<cubic_meter_per_second>() * per_volume,
        "air": measured_json(&run.air, &line.air_advice),
        "air_to_water": joint.ratio.value.get::<ratio>(),
        "air_to_water_standard": joint.ratio.standard.get::<ratio>(),
        "air_to_water_low": line.ratio_limits.0.get::<ratio>(),
        "air_to_water_high": line.ratio_limits.1.get::<ratio>(),
        "water_air_relative_covariance": joint.relative_covariance.get::<ratio>(),
        "water_air_correlation": joint.correlation.get::<ratio>(),
        "site": site_json(&run.site),
    })
}

/// What stands behind one flow.
fn measured_json<Q>(measured: &Measured<Q>, advice: &str) -> Value {
    let freedom = measured.value.degrees_of_freedom;
    let budget: Vec<Value> = measured.budget.contributions.iter().map(|c| {
        json!({ "source": c.source.code(), "relative_standard": c.standard.get::<ratio>(), "share": c.share.get::<ratio>() })
    }).collect();
    let repeats = measured.repeats.as_ref();
    let times: Option<Vec<f64>> =
        repeats.map(|r| r.times.iter().map(Time::get::<second>).collect());
    let outliers: Option<Vec<Value>> = repeats.map(|r| {
        let outlier = |o: &crate::trial::Outlier| json!({ "repeat": o.repeat, "time_s": o.time.get::<second>(), "score": o.score.get::<ratio>() });
        r.outliers.iter().map(outlier).collect()
    });
    json!({
        "relative_standard": measured.budget.relative.get::<ratio>(),
        "degrees_of_freedom": freedom.is_finite().then_some(freedom),
        "budget": budget,
        "advice": advice,
        "times_s": times,
        "outliers": outliers,
    })
}
