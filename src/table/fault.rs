//! What is wrong with a table on file: the line, the column, the value.

use std::fmt;
use std::path::PathBuf;

use crate::error::Error;
use crate::file::Unreadable;
use crate::units::quantity::QuantityError;

/// Everything that is wrong with one table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// The file cannot be read.
    #[error("{}: {reason}{}", path.display(), if *reason == Unreadable::NotText { "; in a spreadsheet, save as CSV UTF-8" } else { "" })]
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
        faults: Vec<TableFault>,
    },
}

/// One thing wrong.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TableFault {
    /// Line of the file, counted from 1; none for what stands nowhere.
    pub line: Option<usize>,
    /// The column or key, as the file has it; empty when none is to blame.
    pub column: String,
    /// What stands there; empty when nothing does.
    pub value: String,
    /// What is wrong.
    pub problem: TableProblem,
}

impl fmt::Display for TableFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}")?,
            None => f.write_str("not in the file")?,
        }
        if !self.column.is_empty() {
            write!(f, ", {}", self.column)?;
        }
        if !self.value.is_empty() {
            write!(f, " {:?}", self.value)?;
        }
        write!(f, ": {}", self.problem)
    }
}

/// What is wrong at one place of a table.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum TableProblem {
    /// Nothing but remarks and keys, if that.
    #[error("there is no header; it names the columns, as {example}")]
    NoHeader {
        /// A header that would do.
        example: &'static str,
    },
    /// A header, and nothing below it.
    #[error("there is no {row} below the header")]
    NoRow {
        /// What a row stands for.
        row: &'static str,
    },
    /// A key or column that means nothing here.
    #[error("there is no such {what}; {}",
        match nearest { Some(n) => format!("did you mean {n:?}?"), None => format!("known are {known}") })]
    Unknown {
        /// A key, or a column.
        what: &'static str,
        /// The nearest name that would do, if one is near.
        nearest: Option<String>,
        /// All names.
        known: String,
    },
    /// Two columns or keys for the same thing.
    #[error("given before, in {first}; keep one of the two")]
    Duplicate {
        /// Where the first stands.
        first: String,
    },
    /// A column that must be there.
    #[error("this column is missing; it holds {expected}")]
    MissingColumn {
        /// What it holds.
        expected: &'static str,
    },
    /// A key that must be there when the caller does not state it.
    #[error("missing: give {expected}")]
    MissingKey {
        /// What to give.
        expected: &'static str,
    },
    /// A key below the header.
    #[error("this key stands below the header; put it above")]
    KeyBelowHeader,
    /// A key without its value, or with more than one.
    #[error("a key takes one value, in the cell beside it: {expected}")]
    OneValue {
        /// What is due.
        expected: &'static str,
    },
    /// A word that is none of those that would do.
    #[error("give {expected}")]
    Word {
        /// The words that would do.
        expected: &'static str,
    },
    /// The file says it, and so does the caller, otherwise.
    #[error("the file says so, but something else was given beside it; keep one of the two")]
    Contradiction,
    /// A row longer than the header.
    #[error(
        "{cells} cells under {columns} columns; a decimal comma does that: write a decimal point, or separate cells by semicolons"
    )]
    RowLength {
        /// Cells of the row.
        cells: usize,
        /// Columns of the header.
        columns: usize,
    },
    /// A text that is not the quantity due.
    #[error(transparent)]
    Quantity(#[from] QuantityError),
    /// A row without one of two cells, of which it needs one.
    #[error("fill this or {other}")]
    OneOf {
        /// The other column.
        other: &'static str,
    },
    /// A table that the library refuses.
    #[error(transparent)]
    Refused(#[from] Error),
}

/// Faults that a text lists; a table with more has one that causes the others.
const MOST_LINES: usize = 50;

fn lines(faults: &[TableFault]) -> String {
    let shown = faults.iter().take(MOST_LINES);
    let mut lines: Vec<String> = shown.map(ToString::to_string).collect();
    if faults.len() > MOST_LINES {
        lines.push(format!("and {} more", faults.len() - MOST_LINES));
    }
    lines.join("\n")
}
