//! What theory says of runs, and how that hangs on what was set.

use std::cell::OnceCell;

use super::run::ReducedRun;
use crate::air::AirFlow;
use crate::error::Error;
use crate::model::Model;
use crate::riser::{Dimensions, Outcome, Riser, RiserSpec, Site};
use crate::uncertainty::sensitivity::{air_slope_at, length_slopes, ln_flow};
use crate::units::{Length, cubic_meter_per_second};

/// Runs with what theory says of each: its riser is solved once, whatever is asked of it then.
#[derive(Debug, Clone)]
pub struct PredictedRuns<'a>(pub(super) Vec<(&'a ReducedRun, Prediction)>);

impl<'a> PredictedRuns<'a> {
    /// The riser of a run is what `riser` gives for it, with the depth and lift of the run.
    ///
    /// # Errors
    /// As [`RiserSpec::build`]; [`Error::NotConverged`], a defect.
    ///
    /// # Examples
    /// See [`Agreement::of`](super::Agreement::of).
    pub fn of(
        runs: &'a [ReducedRun],
        model: Model,
        riser: impl Fn(&ReducedRun) -> RiserSpec,
    ) -> Result<Self, Error> {
        let predicted = runs.iter().map(|run| {
            let (place, air) = ([run.submergence.value, run.lift.value], run.air.air_flow());
            let at = Prediction::at(place, &run.site, air, &riser(run), model)?;
            Ok((run, at))
        });
        Ok(Self(predicted.collect::<Result<_, Error>>()?))
    }
}

/// The riser of a run, and slopes of ln Q.
#[derive(Debug, Clone)]
pub(super) struct Prediction {
    pub riser: Riser,
    pub air: AirFlow,
    pub outcome: Outcome,
    /// Water flow, m³/s; zero when none flows.
    pub flow: f64,
    air_slope: OnceCell<Option<f64>>,
}

impl Prediction {
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
        let outcome = riser.operate(air)?;
        Ok(Self {
            riser,
            air,
            outcome,
            flow: outcome.water_flow().get::<cubic_meter_per_second>(),
            air_slope: OnceCell::new(),
        })
    }

    /// ∂lnQ/∂ln ṁ; none where no water flows on either side.
    pub fn air_slope(&self) -> Result<Option<f64>, Error> {
        if let Some(known) = self.air_slope.get() {
            return Ok(*known);
        }
        let slope = match self.outcome.point() {
            Some(point) => air_slope_at(&self.riser, point)?,
            None => None,
        };
        Ok(*self.air_slope.get_or_init(|| slope))
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
