//! Predictions with a calibration of the bench.

use risewater::report::{CurveReport, FlowReport, SizeReport, SupplyReport};
use risewater::riser::SUBMERGENCE;
use risewater::sizing::Problem;
use risewater::trial::Calibration;
use risewater::units::{Length, VolumeRate, meter};
use risewater::{AirFlow, Caution, Error, Riser, Spread};

use crate::args::CalibrationArgs;
use crate::failure::Failure;

/// The calibration of the command line, if one is named.
pub fn read(args: &CalibrationArgs) -> Result<Option<Calibration>, Failure> {
    let Some(file) = &args.calibration else {
        return Ok(None);
    };
    Calibration::read(file)
        .map(Some)
        .map_err(|error| Failure::Design {
            file: Some(file.clone()),
            error,
        })
}

/// A riser with the calibrated parameters.
pub fn riser(riser: &Riser, calibration: Option<&Calibration>) -> Result<Riser, Error> {
    match calibration {
        None => Ok(*riser),
        Some(calibration) => {
            let (spec, model) = calibration.apply(*riser.spec(), riser.model())?;
            spec.build(riser.site(), model)
        }
    }
}

/// A problem whose candidates have the calibrated parameters, and each the factor of its place.
pub fn problem(problem: Problem, calibration: Option<&Calibration>) -> Result<Problem, Error> {
    let mut problem = problem;
    if let Some(calibration) = calibration {
        (problem.riser, problem.model) = calibration.apply(problem.riser, problem.model)?;
        problem.correction = Some(calibration.correction());
    }
    Ok(problem)
}

/// The riser of the submergence at which an air flow gives a wanted flow.
pub fn deepened(
    riser: &Riser,
    calibration: Option<&Calibration>,
    (flow, air): (VolumeRate, AirFlow),
) -> Result<Riser, Error> {
    let deepest = Length::new::<meter>(SUBMERGENCE.max);
    let mut spec = *riser.spec();
    spec.dimensions.submergence = match calibration {
        None => riser.submergence_for(flow, air, deepest)?,
        Some(calibration) => calibration.submergence_for(riser, flow, air, deepest)?,
    };
    self::riser(&riser.with_spec(spec)?, calibration)
}

/// Puts the spread of the calibration in the place of the published one.
pub fn flow(found: &mut FlowReport, riser: &Riser, calibration: &Calibration) -> Result<(), Error> {
    let calibrated = Spread::calibrated(riser, found.air, calibration)?;
    found.spread = calibrated.spread;
    found.cautions.extend(calibrated.cautions);
    Ok(())
}

/// The same for every point of a curve; the cautions are those of its peak.
pub fn curve(
    found: &mut CurveReport,
    riser: &Riser,
    calibration: &Calibration,
) -> Result<(), Error> {
    for (point, spread) in found.curve.points.iter().zip(&mut found.spreads) {
        *spread = Spread::calibrated(riser, point.air, calibration)?.spread;
    }
    let peak = Spread::calibrated(riser, found.curve.peak.air, calibration)?;
    found.cautions.extend(peak.cautions);
    Ok(())
}

/// The same for every design that has its details.
pub fn size(found: &mut SizeReport, calibration: &Calibration) -> Result<(), Error> {
    for (design, details) in found.sizing.designs.iter().zip(&mut found.details) {
        let calibrated = Spread::calibrated(&design.riser, design.point.air, calibration)?;
        details.spread = calibrated.spread;
        details.cautions.extend(calibrated.cautions);
    }
    Ok(())
}

/// The same for every lift of an air supply; each caution once, of the first lift that it holds for.
pub fn supply(found: &mut SupplyReport, calibration: &Calibration) -> Result<(), Error> {
    let risers = found.solved.manifold.risers().iter();
    let flows = &found.solved.running.split.branches;
    for ((riser, flow), spread) in risers.zip(flows).zip(&mut found.spreads) {
        if spread.is_some() {
            let calibrated = Spread::calibrated(riser, flow.air, calibration)?;
            *spread = Some(calibrated.spread);
            for caution in calibrated.cautions {
                if !found.cautions.iter().any(|known| alike(known, &caution)) {
                    found.cautions.push(caution);
                }
            }
        }
    }
    Ok(())
}

/// Whether two cautions say the same, if of other numbers.
fn alike(one: &Caution, other: &Caution) -> bool {
    match (one, other) {
        (
            Caution::BeyondCalibration { what: one, .. },
            Caution::BeyondCalibration { what: other, .. },
        ) => one == other,
        _ => one == other,
    }
}

/// Cautions of a calibration itself.
pub fn cautions(calibration: Option<&Calibration>) -> impl Iterator<Item = &Caution> {
    calibration
        .into_iter()
        .flat_map(|calibration| &calibration.cautions)
}
