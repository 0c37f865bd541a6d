//! A measured point that a calibration is fitted to.

use crate::air::AirFlow;
use crate::error::{Error, Input};
use crate::published::{self, Rig};
use crate::riser::{Dimensions, RiserSpec, Site, WATER_FLOW};
use crate::trial::INSTRUMENT_SHARE;
use crate::trial::run::ReducedRun;
use crate::trial::uncertainty::Uncertain;
use crate::units::{
    AbsolutePressure, Ratio, ThermodynamicTemperature, VolumeRate, base, degree_celsius,
    liter_per_minute, ratio,
};
use crate::water::Water;

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
            water_flow: Uncertain::new(point.water_flow, base(0.0)),
        })
    }

    /// Whether its numbers can be used.
    pub(super) fn check(&self) -> Result<(), Error> {
        let flow = &self.water_flow;
        WATER_FLOW.check(Input::WaterFlow, flow.value.get::<liter_per_minute>())?;
        INSTRUMENT_SHARE.check(Input::Instrument, (flow.standard / flow.value).value)?;
        INSTRUMENT_SHARE.check(Input::Instrument, self.air_standard.get::<ratio>())?;
        Ok(())
    }
}
