//! The performance curve of one riser.

use super::{IntervalFacts, PointFacts, RiserFacts, SiteFacts, Terms};
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::curve::Curve;
use crate::error::Error;
use crate::model::Model;
use crate::riser::{Outcome, Riser, stays_wet};
use crate::uncertainty::{Predictor, Wanted};
use crate::units::{Length, VolumeRate};

/// What to tell of a curve.
#[derive(Debug, Clone, Copy, Default)]
pub struct CurveTerms<'a> {
    /// About so many points.
    pub points: usize,
    /// A water flow to find on it.
    pub wanted: Option<VolumeRate>,
    /// Other levels of the source's water, each so much higher than in the description of the riser; lower, below zero.
    pub levels: &'a [Length],
    /// An air flow to tell of at each level.
    pub air: Option<AirFlow>,
}

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
        /// the curve at other levels of the source's water, where they were asked for
        pub levels: Vec<LevelCurve> = levels,
        /// the riser
        pub riser: RiserFacts = riser.into(),
        /// water and atmosphere
        pub site: SiteFacts = riser.site().into(),
        /// the closures
        pub model: Model = riser.model(),
        /// cautions for the peak
        pub cautions: Vec<Caution> = cautions,
    }

    /// Solves a curve, and what else is asked of it.
    ///
    /// # Errors
    /// [`Error::LiftOutOfReach`] when no air flow lifts the water that high; [`Error::Inconsistent`] for a level that leaves the
    /// air inlet dry; as [`GasTerms::of`](crate::transfer::GasTerms::of).
    pub fn of(riser: &Riser, asked: &CurveTerms, terms: &Terms) -> Result<Self, Error> {
        let predictor = terms.law.on(riser)?;
        let curve = predictor.curve(asked.points)?;
        let points = with_intervals(&predictor, &curve)?;
        let levels = asked.levels.iter().map(|rise| LevelCurve::of(riser, *rise, asked, terms));
        let levels = levels.collect::<Result<_, Error>>()?;
        let best = curve.best_efficiency;
        let best = best
            .map(|best| predictor.best_efficiency(best))
            .transpose()?;
        let peak = predictor.peak()?;
        let wanted = asked.wanted.map(|flow| {
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

    /// What a riser does where the water of its source stands at another level, with the same outlet.
    pub struct LevelCurve {
        /// how much higher the water stands; below zero where it stands lower
        pub level_change_m: f64 = rise.value,
        /// depth of the injection point at that level
        pub submergence_m: f64 = there.spec().dimensions.submergence.value,
        /// height of the outlet above the water at that level
        pub lift_m: f64 = there.spec().dimensions.lift.value,
        /// air at which pumping starts; `null` where no air lifts the water that high
        pub threshold_air_mass_flow_kg_per_s: Option<f64> =
            curve.as_ref().map(|curve| curve.threshold.kg_per_s()),
        /// the point of most water; `null` where no air lifts the water that high
        pub peak: Option<PointFacts> = peak.as_ref().map(Into::into),
        /// dry air of the riser; `null` where none is known
        pub air_mass_flow_kg_per_s: Option<f64> = asked.air.map(AirFlow::kg_per_s),
        /// water that this air lifts; `null` where no air is known
        pub water_flow_m3_per_s: Option<f64> = at_air.as_ref().map(|found| found.outcome.water_flow().value),
        /// where the true flow then lies, or `null`
        pub interval: Option<IntervalFacts> = at_air.as_ref().and_then(|found| found.interval).map(Into::into),
        /// the curve, by rising air
        pub points: Vec<CurvePoint> = points,
    }

    fn of(riser: &Riser, rise: Length, asked: &CurveTerms, terms: &Terms) -> Result<Self, Error> {
        stays_wet(riser.spec().dimensions.submergence, -rise)?;
        let there = riser.with_spec(riser.spec().at_level(rise))?;
        let predictor = terms.law.on(&there)?;
        let peak = match predictor.peak() {
            Err(Error::LiftOutOfReach { .. }) => None,
            found => Some(found?),
        };
        let curve = match peak {
            Some(_) => Some(predictor.curve(asked.points)?),
            None => None,
        };
        let points = curve.as_ref().map(|curve| with_intervals(&predictor, curve));
        let points = points.transpose()?.unwrap_or_default();
        let at_air = asked.air.map(|air| predictor.predict(air)).transpose()?;
    }

    /// A water flow asked for.
    pub struct WantedFacts {
        /// the flow
        pub water_flow_m3_per_s: f64,
        /// where the riser gives it; `null` where no air does
        pub point: Option<PointFacts>,
    }
}

fn with_intervals(predictor: &Predictor, curve: &Curve) -> Result<Vec<CurvePoint>, Error> {
    let points = curve.points.iter().map(|point| {
        let found = predictor.of_outcome(Outcome::Pumping(*point), point.air)?;
        Ok(CurvePoint {
            point: found.outcome.point().unwrap_or(point).into(),
            interval: found.interval.map(Into::into),
        })
    });
    points.collect()
}
