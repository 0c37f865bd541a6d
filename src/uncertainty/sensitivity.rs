//! How a predicted flow hangs on what was set.

use crate::air::AirFlow;
use crate::error::Error;
use crate::riser::{Dimensions, OperatingPoint, Riser};
use crate::units::{Length, meter};

/// Relative step of the air flow on each side.
const AIR_STEP: f64 = 0.02;
/// Step of lengths on each side, m.
const LENGTH_STEP_M: f64 = 1e-3;

/// ln of the water flow; none where none flows.
pub(crate) fn ln_flow(riser: &Riser, air: AirFlow) -> Result<Option<f64>, Error> {
    Ok(logarithm(riser.operate(air)?.water_flow().value))
}

fn logarithm(flow: f64) -> Option<f64> {
    (flow > 0.0).then(|| flow.ln())
}

/// ∂lnQ/∂ln ṁ at an operating point; none where no water flows on either side.
pub(crate) fn air_slope_at(riser: &Riser, point: &OperatingPoint) -> Result<Option<f64>, Error> {
    let nearby = riser.nearby(point)?;
    let at = |factor: f64| {
        let air = AirFlow::from_kg_per_s(point.air.kg_per_s() * factor);
        Ok::<_, Error>(logarithm(riser.flow_near(air, &nearby)?))
    };
    let sides = at(1.0 + AIR_STEP)?.zip(at(1.0 - AIR_STEP)?);
    Ok(sides.map(|(more, less)| (more - less) / ((1.0 + AIR_STEP) / (1.0 - AIR_STEP)).ln()))
}

/// ∂lnQ by one length from an operating point to a little more of it, 1/m: as good as from both sides in weighing a
/// reading. 0 where none flows there.
pub(super) fn length_slope_at(
    riser: &Riser,
    point: &OperatingPoint,
    change: fn(&mut Dimensions, Length),
) -> Result<f64, Error> {
    let nearby = riser.nearby(point)?;
    let mut spec = *riser.spec();
    change(&mut spec.dimensions, Length::new::<meter>(LENGTH_STEP_M));
    let there = logarithm(riser.with_spec(spec)?.flow_near(point.air, &nearby)?);
    let own = point.water_flow.value.ln();
    Ok(there.map_or(0.0, |there| (there - own) / LENGTH_STEP_M))
}

/// ∂lnQ/∂S and ∂lnQ/∂H, 1/m; none where no water flows on either side.
pub(crate) fn length_slopes(riser: &Riser, air: AirFlow) -> Result<Option<(f64, f64)>, Error> {
    let slope = |change: fn(&mut Dimensions, Length)| -> Result<Option<f64>, Error> {
        let at = |step_m: f64| {
            let mut spec = *riser.spec();
            change(&mut spec.dimensions, Length::new::<meter>(step_m));
            ln_flow(&riser.with_spec(spec)?, air)
        };
        let sides = at(LENGTH_STEP_M)?.zip(at(-LENGTH_STEP_M)?);
        Ok(sides.map(|(more, less)| (more - less) / (2.0 * LENGTH_STEP_M)))
    };
    let submergence = slope(|dimensions, step| dimensions.submergence += step)?;
    let lift = slope(|dimensions, step| dimensions.lift += step)?;
    Ok(submergence.zip(lift))
}
