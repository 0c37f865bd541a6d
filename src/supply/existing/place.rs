//! Where blowers and lifts are on their curves.

use super::Steady;
use crate::air::AirFlow;
use crate::error::Error;
use crate::riser::{OperatingPoint, Riser};
use crate::supply::blower::SiteCurve;
use crate::uncertainty::Predictor;
use crate::units::{AbsolutePressure, base};

/// A flow at an end of the table, but for the solver's rounding.
const ROUNDING: f64 = 1e-9;
/// Below this share of the peak, before the best efficiency, a flow hangs on small changes of air and level: our own
/// choice, as [`Caution::LowOnCurve`](crate::Caution::LowOnCurve) has it.
const NEAR_THRESHOLD: f64 = 0.3;

/// Where blowers are on the curve of their table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantNames, serde::Serialize)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum BlowerPlace {
    /// Between its ends.
    OnTable,
    /// At its highest rise with no flow: no lift takes air.
    ShutOff,
    /// Before its first point: the lifts take less air than that.
    BeforeFirst,
    /// Past its last point: the lifts would take more air than that.
    PastLast,
}

impl BlowerPlace {
    pub(super) fn of(curve: &SiteCurve, blown: AirFlow) -> Self {
        let (first, last) = curve.flows_kg_per_s();
        let air = blown.kg_per_s();
        if air > last * (1.0 + ROUNDING) {
            Self::PastLast
        } else if air < first * (1.0 - ROUNDING) {
            Self::BeforeFirst
        } else if air <= 0.0 {
            Self::ShutOff
        } else {
            Self::OnTable
        }
    }
}

/// Where a lift is on its curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, strum::VariantNames, serde::Serialize)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum CurvePlace {
    /// Its valve is shut.
    Closed,
    /// It gets no air.
    NoAir,
    /// It has air and lifts no water.
    NoWater,
    /// It lifts less than 30 % of its peak, with less air than at its best efficiency.
    NearThreshold,
    /// It has less air than at its best efficiency.
    BelowBest,
    /// It has more air than at its best efficiency, and no more than at its peak.
    PastBest,
    /// It has more air than at its peak: less air would lift more water.
    PastPeak,
}

/// A lift on its curve.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct LiftPlace {
    /// Where it is.
    pub place: CurvePlace,
    /// Its best efficiency; none where nothing is lifted.
    pub best: Option<OperatingPoint>,
    /// Its peak; none where no air lifts the water so high.
    pub peak: Option<OperatingPoint>,
}

/// Pressures that start two lifts, within which neither is sure to be the first, Pa: a tenth of a millimetre of water.
pub(crate) const SAME_START_PA: f64 = 1.0;

impl Steady {
    /// Pressure at its tee that starts a lift against water at rest.
    #[must_use]
    pub fn starting_pressure(&self, n: usize) -> AbsolutePressure {
        let startup = self.manifold.header().branches[n].startup_loss();
        self.manifold.water_at_rest()[n] + startup
    }

    /// The first lift with the same riser that the same pressure starts: which of such lifts starts first is chance.
    #[must_use]
    pub fn like(&self, n: usize) -> usize {
        let (risers, branches) = (self.manifold.risers(), &self.manifold.header().branches);
        let same = |other: &usize| {
            let (one, own) = (&risers[*other], &risers[n]);
            let apart = self.starting_pressure(*other) - self.starting_pressure(n);
            one.spec() == own.spec()
                && one.site() == own.site()
                && branches[*other].open == branches[n].open
                && apart.value.abs() <= SAME_START_PA
        };
        (0..n).find(same).unwrap_or(n)
    }

    /// Where each lift is on its curve, in the header's order.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn places(&self) -> Result<Vec<LiftPlace>, Error> {
        let mut known: Vec<(Riser, [Option<OperatingPoint>; 2])> = Vec::new();
        let mut places = Vec::new();
        for (n, predictor) in self.manifold.predictors()?.into_iter().enumerate() {
            let riser = predictor.riser();
            let same = known.iter().find(|(one, _)| one == riser);
            let [best, peak] = same.map_or_else(|| marks(&predictor), |(_, marks)| Ok(*marks))?;
            if !known.iter().any(|(one, _)| one == riser) {
                known.push((*riser, [best, peak]));
            }
            places.push(LiftPlace {
                place: self.place_of(n, best, peak),
                best,
                peak,
            });
        }
        Ok(places)
    }

    fn place_of(
        &self,
        n: usize,
        best: Option<OperatingPoint>,
        peak: Option<OperatingPoint>,
    ) -> CurvePlace {
        let (open, air) = (
            self.manifold.header().branches[n].open,
            self.running.split.branches[n].air,
        );
        let water = self.running.lifts[n].water_flow();
        if !open {
            return CurvePlace::Closed;
        }
        if air.kg_per_s() <= 0.0 {
            return CurvePlace::NoAir;
        }
        let Some(peak) = peak.filter(|_| water > base(0.0)) else {
            return CurvePlace::NoWater;
        };
        let before = best.is_some_and(|best| air < best.air);
        if air > peak.air {
            CurvePlace::PastPeak
        } else if before && water < peak.water_flow * NEAR_THRESHOLD {
            CurvePlace::NearThreshold
        } else if before {
            CurvePlace::BelowBest
        } else {
            CurvePlace::PastBest
        }
    }
}

/// Best efficiency and peak of a riser, where it has them.
fn marks(predictor: &Predictor) -> Result<[Option<OperatingPoint>; 2], Error> {
    let peak = match predictor.peak() {
        Ok(peak) => Some(peak),
        Err(Error::LiftOutOfReach { .. }) => return Ok([None, None]),
        Err(error) => return Err(error),
    };
    let best = predictor.riser().best_efficiency()?;
    let best = best
        .map(|best| predictor.best_efficiency(best))
        .transpose()?;
    Ok([best, peak])
}
