//! The built book as a reader has it: every page in Chromium, at the width of a telephone and of a desk,
//! light and dark, and without scripts.
//!
//! ```text
//! cargo test -p risewater-book --test browser
//! ```
//!
//! It wants Chromium in the path (Debian: `apt-get install chromium`).

mod check;
mod chromium;
mod desk;
mod faults;
mod faulty;
mod live;
mod server;

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use chromium::Chromium;

fn scratch(name: &str) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(name)
}

/// The built book; it is built once.
fn book() -> PathBuf {
    static BUILT: OnceLock<PathBuf> = OnceLock::new();
    let build = || {
        let tool = Command::new(env!("CARGO_BIN_EXE_risewater-book")).status();
        assert!(tool.expect("the tool runs").success());
        let book = Path::new(env!("CARGO_MANIFEST_DIR")).join("../book");
        assert!(book.join("index.html").is_file());
        book.canonicalize().expect("it is there")
    };
    BUILT.get_or_init(build).clone()
}

#[test]
fn the_book_is_whole_and_legible() {
    let book = book();
    let bytes = check::size(&book);
    assert!(
        bytes < check::LARGEST,
        "the book has {bytes} bytes, allowed are {}",
        check::LARGEST
    );
    let mut browser = Chromium::start(&scratch("profile"));
    let faults = check::look(&mut browser, &book);
    assert!(faults.is_empty(), "the book has faults\n{faults}");
}
