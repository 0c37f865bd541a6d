//! The file of a bench trial's measured points.

use std::path::Path;

use toml_edit::{ArrayOfTables, Document, DocumentMut, Item};

use super::fault::{FileError, Place, Problem};
use super::read_text;
use super::sheet::one;
use crate::uncertainty::Calibration;

impl Calibration {
    /// Reads a file.
    ///
    /// # Errors
    /// [`FileError::Unreadable`], and as [`Calibration::parse`].
    pub fn read(path: &Path) -> Result<Self, FileError> {
        Self::parse(&read_text(path)?)
    }

    /// Reads the text of a file.
    ///
    /// # Errors
    /// [`FileError::Faults`] with the first thing that is wrong, and its line where it is known.
    ///
    /// # Examples
    /// See [`Calibration::file_text`].
    pub fn parse(text: &str) -> Result<Self, FileError> {
        let text = text.trim_start_matches('\u{feff}');
        toml_edit::de::from_str(text).map_err(|error| {
            let line = |at: usize| 1 + text.get(..at).unwrap_or_default().matches('\n').count();
            let start = error.span().map(|span| span.start);
            let place = start
                .or_else(|| refused_at(text))
                .map(|at| Place::Line(line(at)));
            let message = error.message().split_whitespace();
            one(
                place.unwrap_or(Place::Absent),
                "",
                Problem::NotMeasuredPoints {
                    message: message.collect::<Vec<_>>().join(" "),
                },
            )
        })
    }

    /// The text of its file: TOML, SI numbers with the unit in each key.
    ///
    /// # Errors
    /// [`FileError::Faults`], a defect.
    ///
    /// # Examples
    /// ```
    /// use risewater::published::Rig;
    /// use risewater::Calibration;
    ///
    /// let trial = Rig::all()[3].measured()?;
    /// assert_eq!(Calibration::parse(&trial.file_text()?)?, trial);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn file_text(&self) -> Result<String, FileError> {
        let failed = |error: toml_edit::ser::Error| {
            let message = error.to_string();
            one(Place::Absent, "", Problem::NotMeasuredPoints { message })
        };
        let points = toml_edit::ser::to_string_pretty(self).map_err(failed)?;
        Ok(format!(
            "# Measured points of one rig, for `--calibration`. Standard uncertainties; what is shared is of all points that name it.\n{points}"
        ))
    }
}

/// Where the table starts that holds a value outside its range, of which serde tells no place: the first point that
/// the rig does not take alone, or the rig if it takes none.
fn refused_at(text: &str) -> Option<usize> {
    let document = Document::parse(text).ok()?;
    let points = document.get("point")?;
    let start = |item: &Item| item.span().map(|span| span.start);
    let Some(tables) = points.as_array_of_tables() else {
        return start(points);
    };
    let mut rig: DocumentMut = text.parse().ok()?;
    rig.remove("point");
    let alone = |table: &&toml_edit::Table| {
        let mut one = rig.clone();
        let mut tables = ArrayOfTables::new();
        tables.push((*table).clone());
        one.insert("point", Item::ArrayOfTables(tables));
        toml_edit::de::from_document::<Calibration>(one).is_err()
    };
    let refused: Vec<_> = tables.iter().filter(alone).collect();
    match refused.first().and_then(|table| table.span()) {
        Some(span) if refused.len() < tables.len().max(2) => Some(span.start),
        _ => start(document.get("rig")?),
    }
}
