//! The text of a file.

use std::io::Read;
use std::path::Path;

use super::fault::{FileError, Unreadable};

/// Largest file that is read.
const LARGEST_FILE: u64 = 1 << 20;

/// The text of a design file on disk, for [`Design::parse_with`](super::Design::parse_with).
///
/// # Errors
/// [`FileError::Unreadable`].
pub fn read_text(path: &Path) -> Result<String, FileError> {
    let unreadable = |reason| FileError::Unreadable {
        path: path.to_owned(),
        reason,
    };
    let system = |error: std::io::Error| {
        unreadable(match error.kind() {
            std::io::ErrorKind::NotFound => Unreadable::Missing,
            std::io::ErrorKind::IsADirectory => Unreadable::Directory,
            kind => Unreadable::System(kind),
        })
    };
    if path.is_dir() {
        return Err(unreadable(Unreadable::Directory));
    }
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(system)?;
    file.take(LARGEST_FILE + 1)
        .read_to_end(&mut bytes)
        .map_err(system)?;
    if bytes.len() as u64 > LARGEST_FILE {
        return Err(unreadable(Unreadable::TooLarge));
    }
    String::from_utf8(bytes).map_err(|_| unreadable(Unreadable::NotText))
}
