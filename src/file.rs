//! Files of text: read with a limit, written whole or not at all.

use std::fs::{self, File};
use std::io::{BufWriter, ErrorKind, Read, Write as _};
use std::path::{Path, PathBuf};

/// Largest file that is read.
const LARGEST_FILE: u64 = 1 << 20;

/// Why a file cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Unreadable {
    /// There is none.
    #[error("there is no such file")]
    Missing,
    /// It is a directory.
    #[error("this is a directory, not a file")]
    Directory,
    /// Its bytes are not text.
    #[error("this is not a text file in UTF-8")]
    NotText,
    /// Larger than any design file.
    #[error("this file is larger than 1 MiB, too large for a design file")]
    TooLarge,
    /// The system says no.
    #[error("the file cannot be read ({0})")]
    System(ErrorKind),
}

/// The text of a file.
pub(crate) fn text_of(path: &Path) -> Result<String, Unreadable> {
    let system = |error: std::io::Error| match error.kind() {
        ErrorKind::NotFound => Unreadable::Missing,
        ErrorKind::IsADirectory => Unreadable::Directory,
        kind => Unreadable::System(kind),
    };
    if path.is_dir() {
        return Err(Unreadable::Directory);
    }
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(system)?;
    file.take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(system)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(Unreadable::TooLarge);
    }
    String::from_utf8(bytes).map_err(|_| Unreadable::NotText)
}

/// Writes a file whole or not at all: beside its place first, then into it. What is there already keeps its permissions; a
/// device or a pipe takes the text itself.
///
/// # Errors
/// As the system has them; then the place is as it was.
///
/// # Examples
/// ```
/// let place = std::env::temp_dir().join("risewater-file-write.txt");
/// risewater::file::write(&place, "120 L/min")?;
/// assert_eq!(std::fs::read_to_string(&place)?, "120 L/min");
/// # std::fs::remove_file(&place)?;
/// # Ok::<(), std::io::Error>(())
/// ```
pub fn write(path: &Path, text: &str) -> std::io::Result<()> {
    if fs::metadata(path).is_ok_and(|there| !there.is_file()) {
        return fs::write(path, text);
    }
    let (mut file, beside) = Beside::create(path)?;
    file.write_all(text.as_bytes())?;
    file.flush()?;
    beside.take_place()
}

/// A file beside a place, which takes the place when it is whole and goes when it is not.
pub(crate) struct Beside {
    path: PathBuf,
    pub place: PathBuf,
    done: bool,
}

/// End of the name of a file that is not whole.
pub(crate) const BESIDE: &str = ".part";

impl Beside {
    /// Its name is that of the place and of this process, so that two runs do not write into one file.
    pub fn of(path: &Path) -> Self {
        // Through links to the file itself; a file that is not there yet has none.
        let path = path.canonicalize().unwrap_or_else(|_| path.to_owned());
        let mut place = path.clone().into_os_string();
        place.push(format!(".{}{BESIDE}", std::process::id()));
        Self {
            path,
            place: place.into(),
            done: false,
        }
    }

    pub fn create(path: &Path) -> std::io::Result<(BufWriter<File>, Self)> {
        let mut beside = Self::of(path);
        let there = fs::metadata(&beside.path)
            .ok()
            .map(|there| there.permissions());
        if there.as_ref().is_some_and(fs::Permissions::readonly) {
            return Err(ErrorKind::PermissionDenied.into());
        }
        // What cannot be made is not ours to remove.
        beside.done = true;
        let file = File::create(&beside.place)?;
        beside.done = false;
        if let Some(permissions) = there {
            file.set_permissions(permissions)?;
        }
        Ok((BufWriter::new(file), beside))
    }

    pub fn take_place(mut self) -> std::io::Result<()> {
        fs::rename(&self.place, &self.path)?;
        self.done = true;
        Ok(())
    }
}

impl Drop for Beside {
    fn drop(&mut self) {
        if !self.done {
            let _ = fs::remove_file(&self.place);
        }
    }
}
