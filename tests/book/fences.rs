//! Chapters and their fenced blocks.

use super::{Block, blocks, chapters, files, none, pages, read, root, split};

#[test]
fn every_chapter_is_attached_and_every_page_is_a_chapter() {
    let library = read("src/lib.rs");
    let chapters = chapters();
    let mut faults: Vec<String> = chapters
        .iter()
        .filter(|file| !library.contains(&format!("include_str!(\"../book/src/{file}\")")))
        .map(|file| format!("{file} is not attached in src/lib.rs: its Rust is not run"))
        .collect();
    for path in files("book/src", &["md"]) {
        let file = path
            .strip_prefix(root().join("book/src"))
            .unwrap()
            .display()
            .to_string();
        if file != "SUMMARY.md" && !chapters.contains(&file) {
            faults.push(format!("{file} is not in SUMMARY.md"));
        }
    }
    none(&faults);
}

#[test]
fn fences_are_tagged_and_nothing_is_passed_over() {
    // Blocks of Python are run by src/python/tests.
    let known = [
        "rust", "console", "sh", "toml", "text", "json", "csv", "python",
    ];
    let mut faults = Vec::new();
    for (page, text) in pages() {
        for block in split(&text).1 {
            if !known.contains(&block.language()) {
                faults.push(format!(
                    "{page}, line {}: the fence has no known language",
                    block.line
                ));
            }
            if block.info.contains("ignore") {
                faults.push(format!(
                    "{page}, line {}: this block is never run",
                    block.line
                ));
            }
        }
        // Tables of columns hold no code, and the library's own tests hold them against its lists.
        let columns = |rest: &str| {
            let file = rest.strip_prefix("include ../../src/");
            let file = file.and_then(|rest| rest.split("}}").next());
            file.is_some_and(|file| file.ends_with("/columns.md"))
        };
        if !text.split("{{#").skip(1).all(columns) {
            faults.push(format!("{page}: doctests do not expand includes"));
        }
    }
    none(&faults);
}

/// A block that starts with another name would be passed over in silence.
#[test]
fn console_lines_run_the_tool() {
    let mut faults = Vec::new();
    for (page, text) in pages() {
        for block in split(&text)
            .1
            .iter()
            .filter(|block| block.language() == "console")
        {
            if !block.text.starts_with("$ ") {
                faults.push(format!("{page}, line {}: no command", block.line));
            }
            for line in block
                .text
                .lines()
                .filter(|line| line.starts_with("$ ") && !line.starts_with("$ risewater "))
            {
                faults.push(format!("{page}, line {}: {line}", block.line));
            }
        }
    }
    none(&faults);
}

/// A number set in bold is a result: it must stand in a block of its page, where it is checked.
#[test]
fn bold_numbers_are_checked() {
    let mut faults = Vec::new();
    for (page, text) in pages() {
        let prose = split(&text).0;
        let blocks = blocks(&page, &text);
        let checked: Vec<&Block> = blocks
            .iter()
            .filter(|block| matches!(block.language(), "rust" | "console"))
            .collect();
        for bold in prose
            .split("**")
            .skip(1)
            .step_by(2)
            .filter(|bold| bold.starts_with(|c: char| c.is_ascii_digit()))
            // The number of a step or an exercise.
            .filter(|bold| {
                bold.split_once('.')
                    .is_none_or(|(_, rest)| !rest.is_empty() && !rest.starts_with(' '))
            })
        {
            if !checked.iter().any(|block| block.text.contains(bold)) {
                faults.push(format!("{page}: {bold} is in no block"));
            }
        }
    }
    none(&faults);
}
