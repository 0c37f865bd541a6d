//! Every combination of values of keys: which rows there are, that each is what `flow` says of its case, and that a file is
//! whole or is not there.

mod interrupted;
mod ranges;
mod rows;
mod side_by_side;

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// A new folder of this name.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("sweep")
        .join(name);
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// The tool at a sweep of the example, in a folder.
fn tool(folder: &Path, words: &[&str]) -> Command {
    let mut tool = Command::new(env!("CARGO_BIN_EXE_risewater"));
    tool.current_dir(folder).arg("sweep").args(words);
    tool
}

fn run(folder: &Path, words: &[&str]) -> Output {
    tool(folder, words).output().unwrap()
}

fn done(folder: &Path, words: &[&str]) -> String {
    let output = run(folder, words);
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{words:?}: {told}");
    String::from_utf8(output.stdout).unwrap()
}

/// What the tool says when it refuses, with its status.
fn refused(folder: &Path, words: &[&str]) -> (i32, String) {
    let output = run(folder, words);
    assert!(output.stdout.is_empty(), "{words:?}");
    let told = String::from_utf8(output.stderr).unwrap();
    (output.status.code().unwrap(), told)
}

/// The names in a folder, sorted.
fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let name = |entry: std::io::Result<std::fs::DirEntry>| entry.unwrap().file_name();
    let mut names: Vec<_> = entries
        .map(|entry| name(entry).into_string().unwrap())
        .collect();
    names.sort();
    names
}
