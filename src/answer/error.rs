//! What went wrong.

use serde::Serialize;
use serde_json::Value;

use crate::error::Error;

facts! {
    /// What went wrong, on standard error.
    pub struct ErrorAnswer {
        /// what went wrong, as a code, which does not change
        pub code: String,
        /// the remark in words, which may change
        pub message: String,
        /// what belongs to the code, or `null`: numbers of the library's errors; for `design_file` a list of faults with `place`,
        /// `line`, `key` and `message`; for `trial_sheet` one with `line`, `column`, `value` and `message`; for `no_design` all
        /// that was rejected, as in size
        pub details: Value,
    }
}

impl ErrorAnswer {
    /// With details of any shape.
    #[must_use]
    pub fn new(code: &str, message: String, details: impl Serialize) -> Self {
        Self {
            code: code.to_owned(),
            message,
            details: serde_json::to_value(details).unwrap_or_default(),
        }
    }
}

impl From<&Error> for ErrorAnswer {
    fn from(error: &Error) -> Self {
        let mut whole = serde_json::to_value(error).unwrap_or_default();
        Self::new(error.code(), error.to_string(), whole["details"].take())
    }
}
