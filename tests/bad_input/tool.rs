//! Runs the tool and holds what it says against the rules that every ending obeys.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// A place for the files of one test.
pub fn place(test: &str) -> PathBuf {
    let place = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("bad_input")
        .join(test);
    std::fs::create_dir_all(&place).unwrap();
    place
}

/// A file with a content.
pub fn file(test: &str, name: &str, content: impl AsRef<[u8]>) -> String {
    let path = place(test).join(name);
    std::fs::write(&path, content).unwrap();
    path.to_str().unwrap().to_owned()
}

/// How a run ended.
#[derive(Debug)]
pub struct Ending {
    pub status: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

pub fn run<S: AsRef<OsStr>>(arguments: &[S]) -> Ending {
    let output = Command::new(env!("CARGO_BIN_EXE_risewater"))
        .args(arguments)
        .output()
        .unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    Ending {
        status: output.status.code(),
        stdout: text(output.stdout),
        stderr: text(output.stderr),
    }
}

/// Runs, without and with `--json`, what must be refused with a status; both texts, or what breaks the rules.
///
/// Nothing is on stdout; stderr starts with `error:`, and is one JSON object with `--json`.
pub fn refusal(arguments: &[&str], status: i32) -> Result<(String, Value), String> {
    let plain = run(arguments);
    let mut with_json = arguments.to_vec();
    with_json.push("--json");
    let json = run(&with_json);
    for ending in [&plain, &json] {
        if ending.status != Some(status)
            || !ending.stdout.is_empty()
            || ending.stderr.contains("panicked")
        {
            return Err(format!(
                "{arguments:?}: expected status {status} and no stdout, got {ending:?}"
            ));
        }
    }
    if !plain.stderr.lines().any(|line| line.starts_with("error: ")) {
        return Err(format!("{arguments:?}: {}", plain.stderr));
    }
    let value: Value = serde_json::from_str(&json.stderr)
        .map_err(|error| format!("{arguments:?}: {error} in {}", json.stderr))?;
    let texts = ["schema", "code", "message"].map(|key| value[key].as_str().unwrap_or_default());
    if texts[0] != "risewater.error/2" || texts.iter().any(|text| text.is_empty()) {
        return Err(format!("{arguments:?}: {value}"));
    }
    Ok((plain.stderr, value))
}

/// What must be refused, with a code of its JSON and these words in the text.
pub fn refused(arguments: &[&str], status: i32, code: &str, words: &[&str]) {
    if let Err(failure) = refuses(arguments, status, code, words) {
        panic!("{failure}");
    }
}

/// The same, for those who gather failures.
pub fn refuses(arguments: &[&str], status: i32, code: &str, words: &[&str]) -> Result<(), String> {
    let (text, value) = refusal(arguments, status)?;
    let said = flat(&text);
    let missing: Vec<_> = words
        .iter()
        .filter(|word| !said.contains(&flat(word)))
        .collect();
    if value["code"] == code && missing.is_empty() {
        return Ok(());
    }
    Err(format!(
        "{arguments:?}: code {} where {code} is due, no {missing:?} in {text}",
        value["code"]
    ))
}

/// A text as one line, whatever lines a console needs for it.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What must succeed; its stdout.
pub fn answered(arguments: &[&str]) -> String {
    let ending = run(arguments);
    assert_eq!(ending.status, Some(0), "{arguments:?}: {ending:?}");
    ending.stdout
}
