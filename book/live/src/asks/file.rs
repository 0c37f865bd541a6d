//! Design files themselves: their keys, values and faults.

use risewater::answer::{Answer, CheckAnswer, KeysAnswer};
use risewater::design::{DesignFile, value_of, with_values};
use risewater::keys::section;
use serde_json::{Map, Value, json};

use super::{Found, example, open, text};
use crate::reply::{Faults, Reply};
use crate::request::Request;

/// The table of keys, or of one section.
#[allow(clippy::unnecessary_wraps, reason = "as every question is answered")]
pub(super) fn keys(request: &Request) -> Found {
    let section = request.options.section.as_deref();
    Ok(Reply::plain(request, KeysAnswer::of(section).json()).json())
}

fn of_key(request: &Request) -> Result<&str, Faults> {
    let key = request.options.key.as_deref();
    key.ok_or_else(|| Faults::at(Some("key"), "name a key, such as riser.bore"))
}

/// A value in SI base units as a file writes it.
pub(super) fn format(request: &Request) -> Found {
    let key = of_key(request)?;
    let si = request.options.si;
    let si = si.ok_or_else(|| Faults::at(Some("si"), "give a number in SI base units"))?;
    let said = written(key, si, request);
    let said = said
        .ok_or_else(|| Faults::at(Some(key), format!("{key:?} is no key that holds a number")))?;
    Ok(json!({ "answer": { "text": said } }))
}

/// What a text is worth as the value of a key.
pub(super) fn value(request: &Request) -> Found {
    let key = of_key(request)?;
    let given = request.options.value.as_deref().unwrap_or_default();
    let si = value_of(key, given).map_err(|problem| Faults::at(Some(key), problem.to_string()))?;
    Ok(json!({ "answer": { "si": si, "text": written(key, si, request) } }))
}

/// Values in words of an answer that the page has, as text of JSON.
pub(super) fn say(request: &Request) -> Found {
    let text = request.options.value.as_deref().unwrap_or_default();
    let answer: Value = serde_json::from_str(text)
        .map_err(|error| Faults::at(Some("value"), format!("this is no answer: {error}")))?;
    Ok(Reply::plain(request, answer).json())
}

/// Rules of a style sheet that turn pictures dark, within what `value` selects.
#[allow(clippy::unnecessary_wraps, reason = "as every question is answered")]
pub(super) fn dark(request: &Request) -> Found {
    let within = request.options.value.as_deref().unwrap_or(".live");
    Ok(json!({ "answer": { "style": risewater::chart::dark_style(within) } }))
}

/// What stands at keys of the file, each as the file writes it, in the reader's units, and in SI base units.
pub(super) fn values(request: &Request) -> Found {
    let read = DesignFile::parse_with(text(request), &request.replacements())?;
    let of = |key: &String| {
        let stands = read.text_at(key)?;
        let si = value_of(key, &stands).ok();
        let shown = si.and_then(|si| written(key, si, request));
        Some(json!({ "file": stands, "text": shown, "si": si }))
    };
    let keys = request.options.keys.iter();
    let all: Map<String, Value> = keys.map(|key| (key.clone(), of(key).into())).collect();
    Ok(json!({ "answer": all }))
}

/// A value of a key, by its path.
fn written(key: &str, si: f64, request: &Request) -> Option<String> {
    let (name, rest) = key.split_once('.')?;
    let row = section(name)?.row(rest.rsplit('.').next()?)?;
    row.text(si, request.units()).filter(|_| si.is_finite())
}

/// What is wrong with a file.
pub(super) fn check(request: &Request) -> Found {
    open(request)?.check()?;
    let (file, faults) = (None, Vec::new());
    Ok(Reply::plain(request, CheckAnswer { file, faults }.json()).json())
}

/// The file with the values that are set written into it.
pub(super) fn file(request: &Request) -> Found {
    let text = with_values(text(request), &request.replacements())?;
    Ok(json!({ "answer": { "file": text } }))
}

/// The tool's example of a question, named as a section is.
#[allow(clippy::unnecessary_wraps, reason = "as every question is answered")]
pub(super) fn example_of(request: &Request) -> Found {
    let of = request.options.section.as_deref().unwrap_or_default();
    let tables: Map<String, Value> = super::TABLES
        .iter()
        .map(|(name, table)| ((*name).to_owned(), (*table).into()))
        .collect();
    Ok(json!({ "answer": { "file": example(of), "tables": tables } }))
}
