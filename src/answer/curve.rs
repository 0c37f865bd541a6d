//! The performance curve of one riser.

use super::{IntervalFacts, PointFacts, RiserFacts, SiteFacts, Terms};
use crate::caution::Caution;
use crate::curve::Curve;
use crate::error::Error;
use crate::model::Model;
use crate::riser::{Outcome, Riser};
use crate::uncertainty::Wanted;
use crate::units::{Length, VolumeRate};

facts! {
    /// The performance curve of one riser.
    pub struct CurveAnswer {
        /// air at which pumping starts
        pub threshold_air_mass_flow_kg_per_s: f64 = curve.threshold.kg_per_s(),
        /// the point of best efficiency, or `null`
        pub best_efficiency: Option<PointFacts> = best.as_ref().map(Into::into),
        /// the point of most water
        pub peak: PointFacts = (&peak).into(),
        /// the curve, by rising air
        pub points: Vec<CurvePoint> = points,
        /// the water flow asked for, or `null`
        pub wanted: Option<WantedFacts> = wanted.transpose()?,
        /// the riser
        pub riser: RiserFacts = riser.into(),
        /// water and atmosphere
        pub site: SiteFacts = riser.site().into(),
        /// the closures
        pub model: Model = riser.model(),
        /// what to read the peak with
        pub cautions: Vec<Caution> = cautions,
    }

    /// Solves a curve of about so many points, and the point of a water flow where one is wanted.
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high; as
    /// [`GasTerms::of`](crate::transfer::GasTerms::of).
    pub fn of(
        riser: &Riser,
        points: usize,
        wanted: Option<VolumeRate>,
        terms: &Terms,
    ) -> Result<Self, Error> {
        let predictor = terms.law.on(riser)?;
        let curve = Curve::below(riser, *predictor.model_peak()?, points)?;
        let points = curve.points.iter().map(|point| {
            let found = predictor.of_outcome(Outcome::Pumping(*point), point.air)?;
            Ok(CurvePoint {
                point: found.outcome.point().unwrap_or(point).into(),
                interval: found.interval.map(Into::into),
            })
        });
        let points = points.collect::<Result<_, Error>>()?;
        let best = curve.best_efficiency;
        let best = best
            .map(|best| predictor.best_efficiency(best))
            .transpose()?;
        let peak = predictor.peak()?;
        let wanted = wanted.map(|flow| {
            let point = match predictor.air_for(flow, Wanted::Predicted) {
                Ok(point) => Some((&point).into()),
                Err(
                    Error::AbovePeak { .. }
                    | Error::RunsWithoutAir { .. }
                    | Error::OutOfRange { .. },
                ) => None,
                Err(error) => return Err(error),
            };
            Ok(WantedFacts {
                water_flow_m3_per_s: flow.value,
                point,
            })
        });
        let mut cautions = riser.cautions(&Outcome::Pumping(peak));
        cautions.extend(predictor.cautions(peak.air)?);
        cautions.extend(terms.gas.of(riser, &peak, Length::default())?.cautions());
    }

    /// A point of a curve.
    pub struct CurvePoint {
        /// the riser at work
        #[serde(flatten)]
        pub point: PointFacts,
        /// where the true water flow lies; `null` at a submergence ratio below 0.4, unless `model.slip` is `smith_drift`
        pub interval: Option<IntervalFacts>,
    }

    /// A water flow asked for.
    pub struct WantedFacts {
        /// the flow
        pub water_flow_m3_per_s: f64,
        /// where the riser gives it; `null` where no air does
        pub point: Option<PointFacts>,
    }
}
