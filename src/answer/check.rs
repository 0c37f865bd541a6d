//! Whether a design file can be used.

use schemars::JsonSchema;
use serde::Serialize;

use super::Answer;

/// What `check` tells of a file with nothing wrong; faults are an error.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CheckAnswer {
    /// the file, or `null` for the embedded example
    pub file: Option<String>,
    /// always empty
    pub faults: Vec<String>,
}

impl Answer for CheckAnswer {
    const SCHEMA: &'static str = "risewater.check/1";
}
