//! A measured point that a calibration is fitted to.

use crate::air::AirFlow;
use crate::error::{Error, Input, Range};
use crate::published::{self, Rig};
use crate::riser::{Dimensions, RiserSpec, Site, WATER_FLOW};
use crate::trial::INSTRUMENT_SHARE;
use crate::trial::run::ReducedRun;
use crate::trial::uncertainty::Uncertain;
use crate::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate, base, degree_celsius,
    liter_per_minute, meter, ratio,
};
use crate::water::Water;

/// Standard uncertainties of depth and lift that can be.
const LENGTH_STANDARD: Range = Range::new(0.0, 10.0, "m");

/// A riser as it stood on the bench, and what it did.
#[derive(Debug, Clone, PartialEq)]
pub struct FitPoint {
    /// The riser.
    pub spec: RiserSpec,
    /// Water and atmosphere.
    pub site: Site,
    /// Air flow.
    pub air: AirFlow,
    /// Relative standard uncertainty of the air flow.
    pub air_standard: Ratio,
    /// Standard uncertainty of the submergence.
    pub submergence_standard: Length,
    /// Standard uncertainty of the lift.
    pub lift_standard: Length,
    /// Measured water flow.
    pub water_flow: Uncertain<VolumeRate>,
}

impl FitPoint {
    /// The point of a reduced run, on a riser described by a template: its bore, entrance, outlet;
    /// submergence and lift are those of the run.
    #[must_use]
    pub fn of_run(run: &ReducedRun, template: &RiserSpec) -> Self {
        let mut spec = *template;
        spec.dimensions.submergence = run.submergence.value;
        spec.dimensions.lift = run.lift.value;
        Self {
            spec,
            site: run.site,
            air: run.air.air_flow(),
            air_standard: run.air.budget.relative,
            submergence_standard: run.submergence.standard,
            lift_standard: run.lift.standard,
            water_flow: run.water_flow.value,
        }
    }

    /// The point of a published rig. Its uncertainty is not stated: it counts as none beside the
    /// model scatter of the fit, so that all points weigh the same.
    ///
    /// # Errors
    /// None but a defect: the water's temperature is fixed.
    pub fn of_published(rig: &Rig, point: &published::Measured) -> Result<Self, Error> {
        let dimensions = Dimensions {
            bore: rig.bore,
            submergence: point.submergence,
            lift: point.lift,
        };
        Ok(Self {
            spec: RiserSpec::new(dimensions).with_roughness(rig.roughness),
            site: Site {
                water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
                atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
            },
            air: point.air,
            air_standard: base(0.0),
            submergence_standard: base(0.0),
            lift_standard: base(0.0),
            water_flow: Uncertain::new(point.water_flow, base(0.0)),
        })
    }

    /// Whether its numbers can be used.
    pub(super) fn check(&self) -> Result<(), Error> {
        let flow = &self.water_flow;
        WATER_FLOW.check(Input::WaterFlow, flow.value.get::<liter_per_minute>())?;
        INSTRUMENT_SHARE.check(Input::Instrument, (flow.standard / flow.value).value)?;
        INSTRUMENT_SHARE.check(Input::Instrument, self.air_standard.get::<ratio>())?;
        for length in [self.submergence_standard, self.lift_standard] {
            LENGTH_STANDARD.check(Input::Instrument, length.get::<meter>())?;
        }
        Ok(())
    }
}
