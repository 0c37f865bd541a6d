//! What keeps the book in step with the library.
//!
//! Its Rust runs as doctests of the crate, its console blocks in `tests/cli.rs`.

mod catalogue;
mod fences;
#[path = "../../book/figures/mod.rs"]
mod figures;
mod held;
mod keys;
mod limits;
mod links;
mod numbers;
mod pictures;
mod shapes;
mod sources;
mod symbols;

use std::fs;
use std::path::{Path, PathBuf};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn read(path: impl AsRef<Path>) -> String {
    let path = root().join(path);
    fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

/// Every file below a folder with one of these endings.
fn files(folder: &str, endings: &[&str]) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path
                .extension()
                .is_some_and(|ending| endings.iter().any(|known| ending == *known))
            {
                found.push(path);
            }
        }
    }
    found.sort();
    found
}

/// The chapters, as named in SUMMARY.md.
fn chapters() -> Vec<String> {
    let links = read("book/src/SUMMARY.md");
    links
        .split("](")
        .skip(1)
        .filter_map(|rest| rest.split_once(')'))
        .map(|(file, _)| file.to_owned())
        .collect()
}

/// Chapters and README, by path and text.
fn pages() -> Vec<(String, String)> {
    let mut pages: Vec<_> = chapters()
        .iter()
        .map(|file| (file.clone(), read(format!("book/src/{file}"))))
        .collect();
    pages.push(("README.md".to_owned(), read("README.md")));
    pages
}

/// A fenced block: its info string, its first line's number, its text.
struct Block {
    info: String,
    line: usize,
    text: String,
}

impl Block {
    fn language(&self) -> &str {
        self.info.split(',').next().unwrap_or_default()
    }
}

/// The text outside fences, and the fenced blocks.
fn split(page: &str) -> (String, Vec<Block>) {
    let (mut prose, mut blocks, mut open) = (String::new(), Vec::new(), None::<Block>);
    for (n, line) in page.lines().enumerate() {
        match (line.trim_start().strip_prefix("```"), open.take()) {
            (Some(_), Some(block)) => blocks.push(block),
            (Some(info), None) => {
                open = Some(Block {
                    info: info.to_owned(),
                    line: n + 1,
                    text: String::new(),
                });
            }
            (None, Some(mut block)) => {
                block.text += line;
                block.text.push('\n');
                open = Some(block);
            }
            (None, None) => {
                prose += line;
                prose.push('\n');
            }
        }
    }
    assert!(open.is_none(), "a fence is not closed");
    (prose, blocks)
}

/// The blocks of a page, and those that hold its numbers beside it.
fn blocks(name: &str, page: &str) -> Vec<Block> {
    let mut all = split(page).1;
    all.extend(held::blocks(name));
    all
}

fn none(faults: &[String]) {
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
