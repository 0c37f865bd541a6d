//! The console and shell blocks of the README and the book, run.
//!
//! Console output is refreshed with `TRYCMD=overwrite cargo test --test cli`; review the difference
//! like code. Remarks stand behind the result, as both streams are read as one.

use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

#[test]
fn console_blocks_print_what_they_show() {
    trycmd::TestCases::new()
        .case("README.md")
        .case("book/src/*.md");
}

/// Blocks that write files: run in a folder of their own, chapter by chapter, and must succeed.
#[test]
fn shell_blocks_succeed() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let tool = Path::new(env!("CARGO_BIN_EXE_risewater")).parent().unwrap();
    let path = std::env::join_paths(
        std::iter::once(tool.to_owned()).chain(std::env::split_paths(
            &std::env::var_os("PATH").unwrap_or_default(),
        )),
    )
    .unwrap();
    let mut pages: Vec<PathBuf> = fs::read_dir(root.join("book/src"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    pages.push(root.join("README.md"));
    let (mut failures, mut ran) = (Vec::new(), 0);
    for page in pages
        .iter()
        .filter(|page| page.extension().is_some_and(|ending| ending == "md"))
    {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(page.file_stem().unwrap());
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        for file in files_of(page) {
            fs::copy(&file, folder.join(file.file_name().unwrap())).unwrap();
        }
        for line in shell_lines(&fs::read_to_string(page).unwrap()) {
            ran += 1;
            let done = Command::new("sh")
                .args(["-c", &line])
                .current_dir(&folder)
                .env("PATH", &path)
                .output()
                .unwrap();
            if !done.status.success() {
                failures.push(format!(
                    "{}: {line}\n{}",
                    page.display(),
                    String::from_utf8_lossy(&done.stderr)
                ));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert!(ran > 0, "no shell block was found");
}

/// A page's commands run in the folder `NAME.in` beside it: what lies there must stand in the page,
/// where readers copy it.
#[test]
fn files_of_a_page_stand_in_it() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut seen = 0;
    for entry in fs::read_dir(root.join("book/src")).unwrap() {
        let page = entry.unwrap().path();
        for file in files_of(&page) {
            seen += 1;
            let text = fs::read_to_string(&file).unwrap();
            let language = file.extension().and_then(OsStr::to_str).unwrap();
            assert!(
                fs::read_to_string(&page)
                    .unwrap()
                    .contains(&format!("```{language}\n{text}```\n")),
                "{} does not show {} as it is",
                page.display(),
                file.display()
            );
        }
    }
    assert!(seen > 0, "no page has files");
}

/// The embedded example with its air 3 m down, and that of a plant with a stricter limit: every command that solves a
/// riser says what the water may leave with, and asks for no section on gases.
#[test]
fn every_command_tells_of_too_much_gas() {
    let run = |arguments: &[&str]| {
        let tool = env!("CARGO_BIN_EXE_risewater");
        let output = Command::new(tool).args(arguments).output().unwrap();
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (text(output.stdout), text(output.stderr))
    };
    let (plant, _) = run(&["example", "supply"]);
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("deep");
    fs::create_dir_all(&folder).unwrap();
    let file = folder.join("plant.toml");
    let strict = "[limits]\nmax_total_gas_pressure = \"105 %\"";
    fs::write(&file, plant.replace("[limits]", strict)).unwrap();
    fs::write(folder.join("blower.csv"), run(&["example", "blower"]).0).unwrap();
    let deep = ["--set", "riser.submergence=3 m"];
    for arguments in [
        [&["flow"], &deep[..]].concat(),
        [&["curve"], &deep[..]].concat(),
        vec!["supply", file.to_str().unwrap()],
    ] {
        let (_, told) = run(&arguments);
        assert!(
            told.contains("[total_gas_pressure_above]"),
            "{arguments:?}: {told}"
        );
    }
}

/// The files that a page's commands read: those in `NAME.in` beside it.
fn files_of(page: &Path) -> Vec<PathBuf> {
    if page.extension().is_none_or(|ending| ending != "md") {
        return Vec::new();
    }
    let Ok(entries) = fs::read_dir(page.with_extension("in")) else {
        return Vec::new();
    };
    entries.map(|entry| entry.unwrap().path()).collect()
}

/// The tool's own lines in the shell blocks of a page; others (installing, say) are not ours to run.
fn shell_lines(page: &str) -> Vec<String> {
    let mut inside = false;
    let mut lines = Vec::new();
    for line in page.lines() {
        match line {
            "```sh" => inside = true,
            "```" => inside = false,
            line if inside && line.starts_with("risewater ") => lines.push(line.to_owned()),
            _ => {}
        }
    }
    lines
}
