//! Errors as exceptions, with the words of the tool.

use pyo3::exceptions::{PyRuntimeError, PyValueError};
use pyo3::prelude::*;
use risewater::design::FileError;
use risewater::sweep::SweepError;
use risewater::table::TableError;

pyo3::create_exception!(
    risewater,
    Error,
    PyValueError,
    "Why there is no answer, in the words of the tool.\n\n`code` is a name that does not change, `key` the key of a design file that is to blame, or None."
);

/// What an exception is made of.
#[derive(Debug)]
pub struct Fault {
    code: &'static str,
    key: Option<String>,
    words: String,
}

/// What can be refused.
pub type Found<T> = Result<T, Fault>;

impl Fault {
    /// One about no key.
    pub fn new(code: &'static str, words: String) -> Self {
        Self {
            code,
            key: None,
            words,
        }
    }
}

impl From<FileError> for Fault {
    fn from(error: FileError) -> Self {
        let key = match &error {
            FileError::Faults { faults } => faults.first().map(|fault| fault.key.clone()),
            _ => None,
        };
        Self {
            key: key.filter(|key| !key.is_empty()),
            ..Self::new(error.code(), error.to_string())
        }
    }
}

impl From<risewater::Error> for Fault {
    fn from(error: risewater::Error) -> Self {
        let key = error.input().map(|input| input.key().to_owned());
        Self {
            key: key.filter(|key| !key.is_empty()),
            ..Self::new(error.code(), error.to_string())
        }
    }
}

impl From<TableError> for Fault {
    fn from(error: TableError) -> Self {
        Self::new("trial_sheet", error.to_string())
    }
}

impl From<SweepError> for Fault {
    fn from(error: SweepError) -> Self {
        let code = match error {
            SweepError::Interrupted { .. } => "interrupted",
            SweepError::Threads { .. } => "option",
            _ => "write",
        };
        Self::new(code, error.to_string())
    }
}

impl Fault {
    /// The exception itself.
    pub fn object(self, py: Python<'_>) -> Py<PyAny> {
        PyErr::from(self).into_value(py).into_any()
    }
}

impl From<Fault> for PyErr {
    fn from(fault: Fault) -> Self {
        Python::attach(|py| {
            let error = Error::new_err(fault.words);
            let value = error.value(py);
            let set = value.setattr("code", fault.code);
            match set.and_then(|()| value.setattr("key", fault.key)) {
                Ok(()) => error,
                Err(other) => PyRuntimeError::new_err(other.to_string()),
            }
        })
    }
}
