//! A sizing: ranked designs, what was rejected and why, margins of the best.

mod json;
mod text;

#[cfg(feature = "sheet")]
pub(super) use text::margin_words;

use crate::caution::Caution;
use crate::curve::Curve;
use crate::error::Error;
use crate::sizing::{BoreStep, Margin, Problem, Sizing, size};
use crate::spread::{Evidence, Spread};

/// Points of the curve that goes with each design.
const CURVE_POINTS: usize = 10;

/// A sizing with the curve, spread and cautions of every design.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct SizeReport {
    /// The search.
    pub sizing: Sizing,
    /// What goes with each design, in the same order.
    pub details: Vec<Details>,
    /// Margins of the best design.
    pub margins: Vec<Margin>,
    /// What one step of bore costs against the best design.
    pub bore_steps: Vec<BoreStep>,
}

/// What goes with a design.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct Details {
    /// Its curve.
    pub curve: Curve,
    /// How sure its water flow is.
    pub spread: Spread,
    /// What to read it with.
    pub cautions: Vec<Caution>,
}

impl SizeReport {
    /// Searches, and solves curve and spread of the best `detailed` designs (all of them for JSON).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an input of the problem outside its range.
    pub fn of(problem: &Problem, detailed: usize, evidence: &Evidence) -> Result<Self, Error> {
        let sizing = size(problem)?;
        let details = sizing.designs.iter().take(detailed).map(|design| {
            Ok(Details {
                curve: Curve::below(&design.riser, design.peak, CURVE_POINTS)?,
                spread: Spread::of(&design.riser, design.point.air, evidence)?,
                cautions: design.cautions(),
            })
        });
        let details = details.collect::<Result<_, Error>>()?;
        let margins = match sizing.designs.first() {
            Some(winner) => winner.margins(problem)?,
            None => Vec::new(),
        };
        let bore_steps = sizing.bore_steps();
        Ok(Self {
            sizing,
            details,
            margins,
            bore_steps,
        })
    }
}
