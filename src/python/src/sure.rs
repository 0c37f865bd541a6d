//! How sure predictions are to be.

use risewater::units::{Ratio, ratio};
use risewater::{Calibration, ErrorLaw};

use crate::fault::Found;

/// The level of intervals, and the text of a file of measured points.
pub struct Sure {
    level: Option<f64>,
    calibration: Option<String>,
}

impl From<(Option<f64>, Option<String>)> for Sure {
    fn from((level, calibration): (Option<f64>, Option<String>)) -> Self {
        Self { level, calibration }
    }
}

/// A share.
pub fn share(number: f64) -> Ratio {
    Ratio::new::<ratio>(number)
}

impl Sure {
    /// The law of error that is asked for.
    pub fn law(self) -> Found<ErrorLaw> {
        let mut law = ErrorLaw::default();
        if let Some(level) = self.level {
            law = law.with_level(share(level))?;
        }
        if let Some(text) = self.calibration {
            law = law.with_calibration(Calibration::parse(&text)?);
        }
        Ok(law)
    }
}
