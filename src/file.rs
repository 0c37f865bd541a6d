//! Files of text.

use std::io::Read;
use std::path::Path;

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
    System(std::io::ErrorKind),
}

/// The text of a file.
pub(crate) fn text_of(path: &Path) -> Result<String, Unreadable> {
    let system = |error: std::io::Error| match error.kind() {
        std::io::ErrorKind::NotFound => Unreadable::Missing,
        std::io::ErrorKind::IsADirectory => Unreadable::Directory,
        kind => Unreadable::System(kind),
    };
    if path.is_dir() {
        return Err(Unreadable::Directory);
    }
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(system)?;
    file.take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(system)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(Unreadable::TooLarge);
    }
    String::from_utf8(bytes).map_err(|_| Unreadable::NotText)
}
