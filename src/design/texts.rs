//! Files that a design file names: each is opened once, however many questions are asked.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::DesignFile;
use super::fault::Problem;
use crate::file::{Unreadable, text_of};
use crate::keys::Key;
use crate::table::TableError;

/// Tables that the examples name, and what prints them.
const PRINTED: [(&str, &str); 3] = [
    ("blower.csv", "blower"),
    ("crop.csv", "crop"),
    ("aeration.csv", "readings"),
];

/// Why a table that is not there cannot be read, and which command prints it where an example names it.
fn absent(file: &str) -> String {
    let printed = PRINTED.iter().find(|(name, _)| *name == file);
    let printed = printed.map(|(name, what)| {
        format!("; that of the example comes from `risewater example {what} > {name}`")
    });
    Unreadable::Missing.to_string() + &printed.unwrap_or_default()
}

/// The texts of files by name.
#[derive(Debug, Clone, Default)]
pub(super) struct Texts {
    /// Where the files are.
    folder: PathBuf,
    /// Texts in the place of files.
    given: BTreeMap<String, String>,
    /// What was found on disk.
    read: RefCell<BTreeMap<String, Result<String, Unreadable>>>,
}

impl DesignFile {
    /// With the folder that files named in this one are in.
    #[must_use]
    pub fn in_folder(mut self, folder: &Path) -> Self {
        folder.clone_into(&mut self.texts.folder);
        self.texts.read.take();
        self.room.take();
        self
    }

    /// With a text in the place of a file of that name, which is then not looked for on disk.
    ///
    /// ```
    /// use risewater::design::{DesignFile, SUPPLY_EXAMPLE};
    /// use risewater::supply::blower::DEMO;
    ///
    /// let read = DesignFile::parse(SUPPLY_EXAMPLE)?.with_text("blower.csv", DEMO);
    /// assert!(read.supply().is_ok());
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    #[must_use]
    pub fn with_text(mut self, file: impl Into<String>, text: impl Into<String>) -> Self {
        self.texts.given.insert(file.into(), text.into());
        self.room.take();
        self
    }

    /// With a text in the place of the file that a key names, if it does.
    pub(super) fn with_text_of(
        self,
        section: &str,
        key: &Key<String>,
        text: impl Into<String>,
    ) -> Self {
        match self.sheet.at([section]).get(key) {
            Some(file) => self.with_text(file, text),
            None => self,
        }
    }

    /// What a file comes to; whatever is wrong with it is noted at the key that names it.
    pub(super) fn in_file<T>(
        &self,
        (key, file): (&str, &str),
        parse: impl FnOnce(&str) -> Result<T, TableError>,
    ) -> Option<T> {
        let mut read = self.texts.read.borrow_mut();
        let text = match self.texts.given.get(file) {
            Some(text) => Ok(text),
            None => read
                .entry(file.to_owned())
                .or_insert_with(|| text_of(&self.texts.folder.join(file)))
                .as_ref(),
        };
        let messages = match text.map(|text| parse(text)) {
            Ok(Ok(found)) => return Some(found),
            Ok(Err(TableError::Faults { faults })) => {
                faults.iter().map(ToString::to_string).collect()
            }
            Ok(Err(TableError::Unreadable { reason, .. })) => vec![reason.to_string()],
            Err(Unreadable::Missing) => vec![absent(file)],
            Err(reason) => vec![reason.to_string()],
        };
        for message in messages {
            let file = file.into();
            let problem = Problem::Named { file, message };
            self.sheet.fault(self.sheet.place(key), key, problem);
        }
        None
    }
}
