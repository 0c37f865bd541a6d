//! What is wrong with a design file: the line, the key, the value, and what would do.

use std::borrow::Cow;
use std::fmt;
use std::path::PathBuf;

use crate::error::{Error, Input, NeedError};
use crate::file::Unreadable;
use crate::units::quantity::QuantityError;

/// Everything that is wrong with one design file, by line.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FileError {
    /// The file cannot be read.
    #[error("{}: {reason}", path.display())]
    Unreadable {
        /// The path given.
        path: PathBuf,
        /// Why.
        reason: Unreadable,
    },
    /// What it says cannot be used.
    #[error("{}", lines(faults))]
    Faults {
        /// All faults, by line.
        faults: Vec<Fault>,
    },
}

impl FileError {
    /// A name of the error that does not change.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::Unreadable { .. } => "unreadable",
            Self::Faults { .. } => "design_file",
        }
    }
}

/// One thing wrong.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Fault {
    /// Where it stands.
    pub place: Place,
    /// The key, as `section.key`; empty when no key is to blame.
    pub key: String,
    /// What is wrong.
    pub problem: Problem,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.place, self.key.is_empty()) {
            (Place::Absent, false) => write!(f, "{}: {}", self.key, self.problem),
            (Place::Absent, true) => write!(f, "{}", self.problem),
            (place, false) => write!(f, "{place}, {}: {}", self.key, self.problem),
            (place, true) => write!(f, "{place}: {}", self.problem),
        }
    }
}

/// Where it stands, its key and its words.
impl serde::Serialize for Fault {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        use serde::ser::SerializeStruct;
        let line = match self.place {
            Place::Line(line) => Some(line),
            Place::Replaced | Place::Varied | Place::Absent => None,
        };
        let mut fault = serializer.serialize_struct("Fault", 4)?;
        fault.serialize_field("place", &self.place.to_string())?;
        fault.serialize_field("line", &line)?;
        fault.serialize_field("key", &self.key)?;
        fault.serialize_field("message", &self.problem.to_string())?;
        fault.end()
    }
}

/// Where a fault stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[non_exhaustive]
pub enum Place {
    /// A line of the file, counted from 1.
    Line(usize),
    /// A value that replaces one of the file.
    Replaced,
    /// Values that an option gives a key that varies.
    Varied,
    /// Something that is not there.
    Absent,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Line(line) => write!(f, "line {line}"),
            Self::Replaced => f.write_str("replaced value"),
            Self::Varied => f.write_str("--vary"),
            Self::Absent => f.write_str("not in the file"),
        }
    }
}

/// What is wrong at one place.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum Problem {
    /// Nothing in it but comments, if that.
    #[error("nothing is given here; {start}")]
    Empty {
        /// Where one comes from.
        start: &'static str,
    },
    /// Not TOML.
    #[error("this is not TOML ({message}){}{text}", if text.is_empty() { "" } else { ": " })]
    Syntax {
        /// The parser's message, on one line.
        message: String,
        /// The line that it stumbles on; empty when it does not say.
        text: String,
    },
    /// A key before the first section.
    #[error(
        "{name:?} stands outside any section; put it below its section, such as [riser] or [air]"
    )]
    OutsideSection {
        /// Its name.
        name: String,
    },
    /// A section that means nothing here.
    #[error("there is no section [{name}]{}", hint(nearest.as_deref()))]
    UnknownSection {
        /// Its name.
        name: String,
        /// The nearest section, if one is near.
        nearest: Option<String>,
    },
    /// A key that means nothing here.
    #[error("there is no key {name:?} in {section}{}", hint_or_list(nearest.as_deref(), known))]
    UnknownKey {
        /// Its section, as the file writes it.
        section: String,
        /// Its name.
        name: String,
        /// The nearest key, if one is near.
        nearest: Option<String>,
        /// The keys that there are.
        known: Vec<&'static str>,
    },
    /// A value of another type.
    #[error("{found} where {expected} is due")]
    WrongType {
        /// What is due.
        expected: &'static str,
        /// What stands there.
        found: &'static str,
    },
    /// A text that is not the quantity due.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A share that looks like a percentage.
    #[error("{error}; for per cent write \"{percent} %\"")]
    PercentMeant {
        /// What is wrong with it as a share.
        error: Error,
        /// The number.
        percent: f64,
    },
    /// A key that must be there.
    #[error("missing: give {expected}")]
    Missing {
        /// What to give.
        expected: Cow<'static, str>,
    },
    /// Two keys that say the same thing.
    #[error("given beside {other}: give one of the two")]
    Contradiction {
        /// The other key.
        other: &'static str,
    },
    /// A key that belongs to another outlet.
    #[error("this key belongs to outlet = {belongs_to:?}; the outlet here is {outlet:?}")]
    OtherOutlet {
        /// The outlet that takes the key.
        belongs_to: &'static str,
        /// The outlet chosen.
        outlet: &'static str,
    },
    /// A key that belongs to another injector.
    #[error("this key belongs to injector = {belongs_to:?}; the injector here is {injector:?}")]
    OtherInjector {
        /// The injector that takes the key.
        belongs_to: &'static str,
        /// The injector chosen.
        injector: &'static str,
    },
    /// A name that another section of the same kind has already.
    #[error("{name:?} is the name of {other} already: give each its own")]
    NameTaken {
        /// The name.
        name: String,
        /// Who has it.
        other: String,
    },
    /// A replacement in a section that is not there.
    #[error("there is no {name} {number}: the file has {count} of [[{name}]], counted from 1")]
    NoSuchTable {
        /// Name of the sections.
        name: String,
        /// Number given.
        number: String,
        /// How many there are.
        count: usize,
    },
    /// A file that this one names, and what is wrong with it.
    #[error("{}: {message}", file.display())]
    Named {
        /// The file.
        file: PathBuf,
        /// What is wrong.
        message: String,
    },
    /// Text that is not a file of measured points.
    #[error("these are no measured points: {message}")]
    NotMeasuredPoints {
        /// What is wrong.
        message: String,
    },
    /// No candidate of the search meets the duty.
    #[error(
        "no pipe, depth and number of lifts within [limits] meets the duty; `risewater size` has the reasons, or give the lifts as [[lift]]"
    )]
    NoDesign,
    /// One duty is due, and there are several.
    #[error("one [duty] is due here, and the file has {count} of [[duty]], one for each tank")]
    SeveralDuties {
        /// How many there are.
        count: usize,
    },
    /// A replacement that names no key.
    #[error("{text:?} does not name a key; write section.key=value (of a lift, lift.3.key=value)")]
    NoKey {
        /// The replacement given.
        text: String,
    },
    /// What the library refuses of one rearing tank of several.
    #[error("tank {tank:?}: {error}")]
    OfTank {
        /// Its name.
        tank: String,
        /// What is wrong.
        error: Box<Error>,
    },
    /// Values of a key that varies.
    #[cfg(feature = "sweep")]
    #[error(transparent)]
    Swept(#[from] super::SweptError),
    /// A value that the library refuses.
    #[error(transparent)]
    Refused(#[from] Error),
}

impl Problem {
    /// Whether the file was understood and has no answer: a flow above the peak of its riser, say.
    #[must_use]
    pub fn is_unanswerable(&self) -> bool {
        match self {
            Self::NoDesign => true,
            Self::Refused(error) => is_unanswerable(error),
            Self::OfTank { error, .. } => is_unanswerable(error),
            _ => false,
        }
    }
}

fn is_unanswerable(error: &Error) -> bool {
    match error {
        Error::AbovePeak { .. }
        | Error::RunsWithoutAir { .. }
        | Error::LiftOutOfReach { .. }
        | Error::NoInterval { .. }
        | Error::NotConverged { .. }
        | Error::Need(NeedError::LimitTooTight { .. } | NeedError::LimitAboveSaturation { .. }) => {
            true
        }
        Error::Need(NeedError::OnDay { error, .. } | NeedError::InRow { error, .. }) => {
            is_unanswerable(error)
        }
        _ => false,
    }
}

impl Error {
    /// The input that is to blame, if it is one.
    #[must_use]
    pub fn input(&self) -> Option<Input> {
        self.inputs()[0]
    }

    /// The inputs that are to blame: two when they exclude each other.
    pub(super) fn inputs(&self) -> [Option<Input>; 2] {
        match self {
            Self::OutOfRange { what, .. } | Self::NotFinite { what } => [Some(*what), None],
            Self::Inconsistent {
                larger, smaller, ..
            } => [Some(*larger), Some(*smaller)],
            _ => [None; 2],
        }
    }
}

/// Faults that a text lists; a file with more is hardly a design file.
const MOST_LINES: usize = 50;

fn lines(faults: &[Fault]) -> String {
    let mut lines: Vec<String> = faults
        .iter()
        .take(MOST_LINES)
        .map(ToString::to_string)
        .collect();
    if faults.len() > MOST_LINES {
        lines.push(format!("and {} more", faults.len() - MOST_LINES));
    }
    lines.join("\n")
}

/// The nearest name, or all there are.
fn hint_or_list(nearest: Option<&str>, known: &[&str]) -> String {
    match nearest {
        Some(_) => hint(nearest),
        None => format!("; its keys are {}", known.join(", ")),
    }
}

fn hint(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |name| format!("; did you mean {name:?}?"))
}
