//! What theory says of one run, and how that hangs on what was set.

use super::run::ReducedRun;
use crate::air::AirFlow;
use crate::error::Error;
use crate::model::Model;
use crate::riser::{Dimensions, Riser, RiserSpec, Site};
use crate::uncertainty::sensitivity::{air_slope, length_slopes, ln_flow};
use crate::units::{Length, cubic_meter_per_second};

/// The riser of a run, and slopes of ln Q.
pub(super) struct Prediction {
    pub riser: Riser,
    pub air: AirFlow,
    /// Water flow, m³/s; zero when none flows.
    pub flow: f64,
}

impl Prediction {
    /// The run's riser: a description with the run's depth and lift, in its site.
    pub fn of(run: &ReducedRun, spec: &RiserSpec, model: Model) -> Result<Self, Error> {
        let place = [run.submergence.value, run.lift.value];
        Self::at(place, &run.site, run.air.air_flow(), spec, model)
    }

    /// The riser of a description at a depth and a lift.
    pub fn at(
        [submergence, lift]: [Length; 2],
        site: &Site,
        air: AirFlow,
        spec: &RiserSpec,
        model: Model,
    ) -> Result<Self, Error> {
        let mut spec = *spec;
        spec.dimensions = Dimensions {
            submergence,
            lift,
            ..spec.dimensions
        };
        let riser = spec.build(site, model)?;
        let flow = riser.operate(air)?.water_flow();
        Ok(Self {
            riser,
            air,
            flow: flow.get::<cubic_meter_per_second>(),
        })
    }

    /// ∂lnQ/∂ln ṁ; none where no water flows on either side.
    pub fn air_slope(&self) -> Result<Option<f64>, Error> {
        air_slope(&self.riser, self.air)
    }

    /// ΔlnQ/Δln ṁ from another air flow to the run's own; none where no water flows at either.
    pub fn air_slope_to(&self, other: AirFlow) -> Result<Option<f64>, Error> {
        /// Nearer than this, the difference of two solutions is mostly their rounding.
        const NEAR: f64 = 1e-4;
        let step = (self.air.kg_per_s() / other.kg_per_s()).ln();
        if step.abs() < NEAR {
            return self.air_slope();
        }
        let there = ln_flow(&self.riser, other)?.filter(|_| self.flow > 0.0);
        Ok(there.map(|there| (self.flow.ln() - there) / step))
    }

    /// ∂lnQ/∂S and ∂lnQ/∂H, 1/m; none where no water flows on either side.
    pub fn length_slopes(&self) -> Result<Option<(f64, f64)>, Error> {
        length_slopes(&self.riser, self.air)
    }
}
