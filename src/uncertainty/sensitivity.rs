//! How a predicted flow hangs on what was set.

use crate::air::AirFlow;
use crate::error::Error;
use crate::riser::{Dimensions, OperatingPoint, Riser};
use crate::units::{Length, meter};

/// Relative step of the air flow on each side.
#[cfg(feature = "trial")]
const AIR_STEP: f64 = 0.02;
/// The same from a point to one side, which is as good in weighing a reading.
const AIR_STEP_ON: f64 = 0.005;
/// Step of lengths on each side, m.
const LENGTH_STEP_M: f64 = 1e-3;

/// ln of the water flow; none where none flows.
pub(crate) fn ln_flow(riser: &Riser, air: AirFlow) -> Result<Option<f64>, Error> {
    let flow = riser.operate(air)?.water_flow().value;
    Ok((flow > 0.0).then(|| flow.ln()))
}

/// ∂lnQ/∂ln ṁ; none where no water flows on either side.
#[cfg(feature = "trial")]
pub(crate) fn air_slope(riser: &Riser, air: AirFlow) -> Result<Option<f64>, Error> {
    let at = |factor: f64| ln_flow(riser, AirFlow::from_kg_per_s(air.kg_per_s() * factor));
    let sides = at(1.0 + AIR_STEP)?.zip(at(1.0 - AIR_STEP)?);
    Ok(sides.map(|(more, less)| (more - less) / ((1.0 + AIR_STEP) / (1.0 - AIR_STEP)).ln()))
}

/// ∂lnQ/∂S and ∂lnQ/∂H, 1/m; none where no water flows on either side.
#[cfg(feature = "trial")]
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

/// ∂lnQ/∂ln ṁ from a point to a little more air; 0 where none flows there.
pub(super) fn air_slope_on(riser: &Riser, point: &OperatingPoint) -> Result<f64, Error> {
    let more = AirFlow::from_kg_per_s(point.air.kg_per_s() * (1.0 + AIR_STEP_ON));
    let there = ln_flow(riser, more)?;
    Ok(there.map_or(0.0, |there| rise(point, there) / AIR_STEP_ON.ln_1p()))
}

/// ∂lnQ by one length from a point to a little more of it, 1/m; 0 where none flows there.
pub(super) fn length_slope_on(
    riser: &Riser,
    point: &OperatingPoint,
    change: fn(&mut Dimensions, Length),
) -> Result<f64, Error> {
    let mut spec = *riser.spec();
    change(&mut spec.dimensions, Length::new::<meter>(LENGTH_STEP_M));
    let there = ln_flow(&riser.with_spec(spec)?, point.air)?;
    Ok(there.map_or(0.0, |there| rise(point, there) / LENGTH_STEP_M))
}

fn rise(point: &OperatingPoint, ln_there: f64) -> f64 {
    ln_there - point.water_flow.value.ln()
}
