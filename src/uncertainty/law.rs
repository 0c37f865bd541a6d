//! The law at a level, with a bench trial or without.

use std::sync::Arc;

use statrs::distribution::{ContinuousCDF, Normal};

use super::calibration::Calibration;
use super::interval::USUAL_LEVEL;
use super::predictor::Predictor;
use crate::error::{Error, Input};
use crate::measurement::LEVEL;
use crate::riser::Riser;
use crate::units::{Ratio, ratio};

/// How sure predictions are: the level of their intervals, and a bench trial where there is one.
///
/// # Examples
/// See [`Predictor`].
#[derive(Debug, Clone, PartialEq)]
pub struct ErrorLaw {
    level: Ratio,
    calibration: Option<Arc<Calibration>>,
}

impl Default for ErrorLaw {
    /// Intervals of 80 %, before any trial.
    fn default() -> Self {
        Self {
            level: Ratio::new::<ratio>(USUAL_LEVEL),
            calibration: None,
        }
    }
}

impl ErrorLaw {
    /// The same with intervals of another level.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`LEVEL`].
    pub fn with_level(mut self, level: Ratio) -> Result<Self, Error> {
        LEVEL.check(Input::CoverageLevel, level.get::<ratio>())?;
        self.level = level;
        Ok(self)
    }

    /// The same with a bench trial.
    #[must_use]
    pub fn with_calibration(mut self, calibration: Calibration) -> Self {
        self.calibration = Some(Arc::new(calibration));
        self
    }

    /// Coverage probability of the intervals.
    #[must_use]
    pub fn level(&self) -> Ratio {
        self.level
    }

    /// The bench trial.
    #[must_use]
    pub fn calibration(&self) -> Option<&Calibration> {
        self.calibration.as_deref()
    }

    /// Half width of an interval in standard deviations: 1.2816 for 80 %.
    #[must_use]
    pub fn coverage_factor(&self) -> f64 {
        let upper = 0.5 * (1.0 + self.level.get::<ratio>());
        Normal::standard().inverse_cdf(upper)
    }

    /// What it says of one riser.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn on(&self, riser: &Riser) -> Result<Predictor, Error> {
        Predictor::of(riser, self)
    }
}
