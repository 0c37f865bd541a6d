//! How sure the water of lifts on one header is, and what the doubt costs.

use super::manifold::{Manifold, Running};
use super::plant::Plant;
use crate::air::AirFlow;
use crate::caution::Caution;
use crate::error::Error;
use crate::riser::{OperatingPoint, Riser};
use crate::uncertainty::{Basis, Interval, Predictor, Wanted, same_rig};
use crate::units::{MassRate, Power, base};

/// Where the true water flows lie.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SupplyIntervals {
    /// Of each lift, in the header's order; none for one without air, or at a submergence ratio below 0.4.
    pub lifts: Vec<Option<Interval>>,
    /// Of all lifts together. Lifts of one rig are off together, so theirs are added; different rigs are independent, so
    /// half widths of theirs are combined by root of squares. It rests on a bench trial where all of them do. None when
    /// that of a lift with water is not known.
    pub whole: Option<Interval>,
    /// What they are to be read with, of like lifts the first.
    pub cautions: Vec<Caution>,
    /// The same of each lift.
    pub of_lifts: Vec<Vec<Caution>>,
}

impl Manifold {
    /// Where the true water flows lie of lifts that run.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn intervals(&self, running: &Running) -> Result<SupplyIntervals, Error> {
        let mut lifts = Vec::new();
        let mut cautions: Vec<Caution> = Vec::new();
        let mut of_lifts = Vec::new();
        let branches = &running.split.branches;
        for (predictor, branch) in self.predictors()?.iter().zip(branches) {
            if branch.air.kg_per_s() <= 0.0 {
                lifts.push(None);
                of_lifts.push(Vec::new());
                continue;
            }
            lifts.push(predictor.predict(branch.air)?.interval);
            let own = predictor.cautions(branch.air)?;
            for caution in &own {
                if !cautions.iter().any(|known| known.code() == caution.code()) {
                    cautions.push(caution.clone());
                }
            }
            of_lifts.push(own);
        }
        Ok(SupplyIntervals {
            whole: self.together(running, &lifts),
            lifts,
            cautions,
            of_lifts,
        })
    }

    fn together(&self, running: &Running, intervals: &[Option<Interval>]) -> Option<Interval> {
        let mut rigs: Vec<(&Riser, [f64; 3])> = Vec::new();
        let lifts = running.lifts.iter().zip(intervals);
        for (riser, (outcome, interval)) in self.risers().iter().zip(lifts) {
            let flow = outcome.water_flow();
            let Some(found) = interval else {
                if flow.value > 0.0 {
                    return None;
                }
                continue;
            };
            let own = [flow.value, found.low.value, found.high.value];
            match rigs
                .iter_mut()
                .find(|(known, _)| same_rig(known.spec(), riser.spec()))
            {
                Some((_, sum)) => sum.iter_mut().zip(own).for_each(|(sum, own)| *sum += own),
                None => rigs.push((riser, own)),
            }
        }
        let flow: f64 = rigs.iter().map(|(_, sum)| sum[0]).sum();
        let half = |end: usize| {
            let squares = rigs.iter().map(|(_, sum)| (sum[end] - sum[0]).powi(2));
            squares.sum::<f64>().sqrt()
        };
        let known = || intervals.iter().flatten();
        let mut whole: Interval = *known().next()?;
        if known().any(|one| one.basis == Basis::PublishedRigs) {
            whole.basis = Basis::PublishedRigs;
        }
        (whole.low, whole.high) = (base(flow - half(1)), base(flow + half(2)));
        Some(whole)
    }
}

/// What all open lifts take together.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct EndCost {
    /// Mass rate of dry air.
    pub air: MassRate,
    /// Power at the injection points.
    pub injection_power: Power,
}

impl Plant {
    /// What all open lifts take so that what is promised of them is met by the predicted flows, and by the lower ends of
    /// their intervals: the difference is what bench trials are worth. Promised is what the design air gives by
    /// prediction, or at the lower end where that is `wanted`. None where a lift cannot.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn doubt_cost(&self, wanted: Wanted) -> Result<Option<[EndCost; 2]>, Error> {
        let branches = &self.manifold.header().branches;
        let mut sum = [EndCost::default(); 2];
        let mut known: Vec<(Predictor, AirFlow, [OperatingPoint; 2])> = Vec::new();
        let predictors = self.manifold.predictors()?.into_iter().zip(&self.design);
        for ((predictor, air), branch) in predictors.zip(branches) {
            if !branch.open {
                continue;
            }
            let same = |one: &&(Predictor, AirFlow, _)| {
                one.0.riser() == predictor.riser() && one.1 == *air
            };
            let both = if let Some(one) = known.iter().find(same) {
                one.2
            } else {
                let Some(both) = both_ends(&predictor, *air, wanted)? else {
                    return Ok(None);
                };
                known.push((predictor, *air, both));
                both
            };
            for (sum, point) in sum.iter_mut().zip(&both) {
                sum.air += point.air.dry_mass_rate();
                sum.injection_power += point.injection_power;
            }
        }
        Ok(Some(sum))
    }
}

/// The operating points that give what a lift is to give, by prediction and by the lower end; none where it cannot.
fn both_ends(
    predictor: &Predictor,
    air: AirFlow,
    wanted: Wanted,
) -> Result<Option<[OperatingPoint; 2]>, Error> {
    let found = predictor.predict(air)?;
    let promised = match (wanted, found.interval) {
        (Wanted::Predicted, _) => found.outcome.water_flow(),
        (Wanted::LowerEnd, Some(interval)) => interval.low,
        (Wanted::LowerEnd, None) => return Ok(None),
    };
    let mut both = Vec::new();
    for which in [Wanted::Predicted, Wanted::LowerEnd] {
        match predictor.air_for(promised, which) {
            Ok(point) => both.push(point),
            Err(error @ Error::NotConverged { .. }) => return Err(error),
            // Above the peak, without air, or without an interval.
            Err(_) => return Ok(None),
        }
    }
    Ok(both.try_into().ok())
}
