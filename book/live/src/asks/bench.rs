//! A bench trial: points that were measured, what they say, which run to make next.

use risewater::answer::{Answer, FitAnswer, FlowAnswer, PlanAnswer};
use risewater::design::DesignFile;
use risewater::error::Input;
use risewater::trial::{Fit, parse_runs, reduce};
use risewater::uncertainty::MeasuredPoint;
use risewater::units::{Length, Ratio, meter, quantity, ratio};
use risewater::{AirFlow, Calibration, ErrorLaw};
use serde_json::json;

use super::{Found, open, text};
use crate::reply::{Faults, Reply};
use crate::request::{Reading, Request};

/// What instruments of a farm are good for: our own choice, relative standard uncertainties of a flow.
const FLOW_STANDARD: f64 = 0.02;
/// The same of a depth or a lift.
const LENGTH_STANDARD_M: f64 = 0.005;
/// The table that is a sheet of a trial.
const SHEET: &str = "sheet.csv";

/// What was measured of the riser of the file: the readings of the request, or a sheet among its tables.
pub(super) fn measured(request: &Request, read: &DesignFile) -> Result<Calibration, Faults> {
    if let Some(sheet) = request.tables.get(SHEET) {
        let runs = reduce(&parse_runs(sheet)?, &read.instruments())?;
        return Ok(Calibration::of_runs(&runs, &read.movable_riser()?)?);
    }
    if request.options.readings.is_empty() {
        let text = format!("give readings, or a sheet as the table {SHEET}");
        return Err(Faults::at(Some("readings"), text));
    }
    let (riser, site) = (read.movable_riser()?, read.site()?);
    let readings = request.options.readings.iter().enumerate();
    let points = readings.map(|(n, reading)| {
        let length = |text: &Option<String>, own: Length, name: &str| match text {
            Some(text) => quantity::length(text).map_err(|error| fault(n, name, &error)),
            None => Ok(own),
        };
        Ok(MeasuredPoint {
            run: format!("{}", n + 1),
            submergence: length(
                &reading.submergence,
                riser.dimensions.submergence,
                "submergence",
            )?,
            lift: length(&reading.lift, riser.dimensions.lift, "lift")?,
            site,
            air: air(request, n, reading)?,
            water_flow: quantity::volume_rate(&reading.water)
                .map_err(|error| fault(n, "water", &error))?,
            water_standard: Ratio::new::<ratio>(FLOW_STANDARD),
            air_standard: Ratio::new::<ratio>(FLOW_STANDARD),
            submergence_standard: Length::new::<meter>(LENGTH_STANDARD_M),
            lift_standard: Length::new::<meter>(LENGTH_STANDARD_M),
            repeats: 1,
            shared: Vec::new(),
        })
    });
    let points = points.collect::<Result<Vec<_>, Faults>>()?;
    // What is wrong with one reading is told of that one.
    for (n, point) in points.iter().enumerate() {
        if let Err(error) = Calibration::new(riser, vec![point.clone()]) {
            return Err(match error.input() {
                Some(Input::WaterFlow) => fault(n, "water", &error),
                Some(Input::AirFlow) => fault(n, "air", &error),
                _ => error.into(),
            });
        }
    }
    Ok(Calibration::new(riser, points)?)
}

/// What is wrong with a reading, which goes by `readings.1.air`.
fn fault(n: usize, name: &str, error: &dyn std::fmt::Display) -> Faults {
    Faults::at(
        Some(&format!("readings.{}.{name}", n + 1)),
        error.to_string(),
    )
}

/// The air of a reading, at the reference of the file.
fn air(request: &Request, n: usize, reading: &Reading) -> Result<AirFlow, Faults> {
    let mut replacements = request.replacements();
    replacements.push(format!("air.flow={}", reading.air));
    let with_air = DesignFile::parse_with(text(request), &replacements);
    let found = with_air.and_then(|read| read.air());
    found.map_err(|error| match error {
        risewater::design::FileError::Faults { faults } => {
            let text: Vec<String> = faults
                .iter()
                .map(|fault| fault.problem.to_string())
                .collect();
            fault(n, "air", &text.join("; "))
        }
        other => other.into(),
    })
}

/// The plan of a trial of the riser at its own air, with what was measured already.
pub(super) fn next(request: &Request) -> Found {
    let (read, units) = (open(request)?, request.units());
    let (riser, air) = read.riser_and_air()?;
    let found = PlanAnswer::of(&read.bench_for(&riser, air)?.with_units(units).plan()?);
    let reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    Ok(reply.json())
}

/// What measured points say, and what to measure next: those of the request's readings, or of a sheet among its tables.
pub(super) fn trial(request: &Request) -> Found {
    let (read, units) = (open(request)?, request.units());
    let trial = measured(request, &read)?;
    // A picture alone needs no plan.
    let bench = match read.riser_and_air() {
        _ if request.options.bare => None,
        Ok((riser, air)) => Some(read.bench_for(&riser, air)?),
        Err(_) => read.bench().ok(),
    };
    let mut plain = ErrorLaw::default();
    if let Some(level) = &request.options.level {
        plain = plain.with_level(
            quantity::ratio(level).map_err(|error| Faults::at(Some("level"), error.to_string()))?,
        )?;
    }
    let fit = Fit::of(trial, read.model(), &plain, bench.as_ref())?;
    let found = FitAnswer::of(&fit);
    let mut reply = Reply::of(request, &found, || found.text(units), &found.cautions);
    if request.picture("trial") == Some("panel") {
        // The page beside it has the words, and numbers the readings.
        let mut figure = fit.figure(units)?;
        figure.title.clear();
        figure.notes.clear();
        let (svg, frame) = figure.chart().panel_svg()?;
        reply.put("picture", svg);
        reply.put("frame", json!(frame));
        return Ok(reply.json());
    }
    // The riser at its own air, before and after.
    if let Ok((riser, air)) = read.riser_and_air() {
        let of = |law: &ErrorLaw| {
            FlowAnswer::of(&riser, air, &read.terms(law.clone()).map_err(Faults::from)?)
                .map_err(Faults::from)
        };
        reply.put("before", of(&plain)?.json());
        reply.put("after", of(&fit.law)?.json());
    }
    let file = fit.trial.file_text()?;
    reply.put("calibration", json!(file));
    let reply = reply.picture(&["trial", "panel"], |_, narrow| {
        let chart = fit.figure(units)?.chart();
        Ok(if narrow {
            chart.narrow_svg()
        } else {
            chart.svg()
        }?)
    })?;
    Ok(reply.json())
}
