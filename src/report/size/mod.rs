//! A sizing: ranked designs, what was rejected and why, margins of the best.

mod json;
mod text;

#[cfg(feature = "sheet")]
pub(super) use text::margin_words;

use super::Chain;
use crate::caution::Caution;
use crate::curve::Curve;
use crate::error::Error;
use crate::need::RoomNeed;
use crate::riser::Outcome;
use crate::sizing::{BoreStep, DoubtCost, Margin, Problem, Sizing, size};
use crate::transfer::{GasTerms, LiftGases};
use crate::uncertainty::{Interval, Predictor};
use crate::units::Ratio;

/// Points of the curve that goes with each design.
const CURVE_POINTS: usize = 10;

/// A sizing with the curve, interval and cautions of every design.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct SizeReport {
    /// The search.
    pub sizing: Sizing,
    /// What goes with each design, in the same order.
    pub details: Vec<Details>,
    /// Margins of the best design.
    pub margins: Vec<Margin>,
    /// What the doubt about the best design costs.
    pub doubt_cost: Option<DoubtCost>,
    /// What one step of bore costs against the best design.
    pub bore_steps: Vec<BoreStep>,
    /// What the animals need that the duty comes from.
    pub need: Option<RoomNeed>,
}

/// What goes with a design.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Details {
    /// Its curve.
    pub curve: Curve,
    /// Where its true water flow lies; none at a submergence ratio below 0.4.
    pub interval: Option<Interval>,
    /// Half of that interval, over the flow, that three readings on the bench would leave.
    pub after_three_readings: Option<Ratio>,
    /// Shares of the variance behind the interval, by [`Source`](crate::uncertainty::Source); the rest is rig and shape.
    pub hangs_on: Option<[f64; 4]>,
    /// What the interval is to be read with.
    doubts: Vec<Caution>,
    /// What to read it with.
    pub cautions: Vec<Caution>,
    /// Gases of its water.
    pub gases: LiftGases,
}

impl SizeReport {
    /// Searches, and solves curve and interval of the best `detailed` designs (all of them for JSON).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an input of the problem outside its range.
    pub fn of(problem: &Problem, detailed: usize) -> Result<Self, Error> {
        let sizing = size(problem)?;
        let details = sizing.designs.iter().take(detailed).map(|design| {
            let gases = GasTerms::default().of(&design.riser, &design.point, problem.level_rise)?;
            let predictor = problem.law.on(&design.riser)?;
            let air = design.point.air;
            let mut curve = Curve::below(&design.riser, design.peak, CURVE_POINTS)?;
            calibrate(&mut curve, &predictor)?;
            let doubts = predictor.cautions(air)?;
            let mut cautions = design.cautions();
            cautions.extend(doubts.iter().cloned());
            cautions.extend(gases.cautions());
            Ok(Details {
                curve,
                interval: predictor.predict(air)?.interval,
                after_three_readings: predictor.after_three_readings(air)?,
                hangs_on: predictor.shares(air)?,
                doubts,
                cautions,
                gases,
            })
        });
        let details = details.collect::<Result<_, Error>>()?;
        let margins = match sizing.best() {
            Some(winner) => winner.margins(problem)?,
            None => Vec::new(),
        };
        let bore_steps = sizing.bore_steps();
        let winner = sizing.best();
        let doubt_cost = winner.map(|one| one.doubt_cost(problem)).transpose()?;
        Ok(Self {
            sizing,
            details,
            margins,
            doubt_cost,
            bore_steps,
            need: None,
        })
    }

    /// Asks how the water leaves the best design, where no outlet was stated and much hangs on it.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn ask_outlet(&mut self, problem: &Problem) -> Result<(), Error> {
        if let (Some(winner), Some(details)) = (self.sizing.best(), self.details.first_mut()) {
            let predictor = problem.law.on(&winner.riser)?;
            let question = predictor.outlet_question(winner.point.air)?;
            details.doubts.extend(question.clone());
            details.cautions.extend(question);
        }
        Ok(())
    }

    /// With the need that the duty comes from.
    #[must_use]
    pub fn with_need(mut self, need: Option<&RoomNeed>) -> Self {
        self.need = need.cloned();
        self
    }

    /// Cautions on the search as a whole, on its best design at low water, and on the need behind it.
    #[must_use]
    pub fn cautions(&self, problem: &Problem) -> Vec<Caution> {
        let mut cautions = self.sizing.cautions(problem);
        cautions.extend(self.low_water_caution(problem));
        if self.need.is_some() {
            cautions.push(Caution::MeansOfTheDay);
        }
        cautions
    }

    /// The caution that the best design misses its duty at low water.
    #[must_use]
    pub fn low_water_caution(&self, problem: &Problem) -> Option<Caution> {
        let winner = self.sizing.best()?;
        winner.low_water_caution(problem, &self.margins)
    }

    /// From the animals to the best design; none without a need or a design.
    #[must_use]
    pub fn chain<'a>(&'a self, problem: &'a Problem) -> Option<Chain<'a>> {
        let (need, design) = (self.need.as_ref()?, self.sizing.best()?);
        Some(Chain {
            need,
            design,
            problem,
        })
    }

    /// With what is known of the gases of the water.
    ///
    /// # Errors
    /// As [`GasTerms::of`].
    pub fn with_gas(mut self, problem: &Problem, terms: &GasTerms) -> Result<Self, Error> {
        for (design, details) in self.sizing.designs.iter().zip(&mut self.details) {
            details.gases = terms.of(&design.riser, &design.point, problem.level_rise)?;
            details.cautions = design.cautions();
            details.cautions.extend(details.doubts.iter().cloned());
            details.cautions.extend(details.gases.cautions());
        }
        Ok(self)
    }
}

/// A curve as a trial found it.
fn calibrate(curve: &mut Curve, predictor: &Predictor) -> Result<(), Error> {
    let best = curve.best_efficiency.as_mut();
    for point in curve.points.iter_mut().chain(best) {
        let found = predictor.calibrated(Outcome::Pumping(*point))?;
        *point = found.point().copied().unwrap_or(*point);
    }
    Ok(())
}
