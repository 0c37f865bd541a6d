//! What measured points say of a rig.

use serde_json::{Value, json};

use super::number::UnitSystem;
use crate::caution::Caution;
use crate::error::Error;
use crate::model::Model;
use crate::uncertainty::{Calibration, ErrorLaw};

/// What a trial has taught.
#[derive(Debug, Clone)]
#[non_exhaustive]
pub struct FitReport {
    /// The measured points.
    pub trial: Calibration,
    /// The closures that predict.
    pub model: Model,
    /// What the result should be read with.
    pub cautions: Vec<Caution>,
}

impl FitReport {
    /// Conditions on the points of a trial.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn of(trial: Calibration, model: Model, law: &ErrorLaw) -> Result<Self, Error> {
        let _ = law;
        Ok(Self {
            trial,
            model,
            cautions: Vec::new(),
        })
    }

    /// The JSON shape `risewater.fit/1`.
    #[must_use]
    pub fn json(&self) -> Value {
        json!({ "schema": "risewater.fit/1" })
    }

    /// Text for people.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        format!(
            "{} points; {}\n",
            self.trial.points().len(),
            self.model.worded(units)
        )
    }
}
