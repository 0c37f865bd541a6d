//! What the fuzz target `door` does with its bytes: a request through the door of the book's live pages, `book/live`. Its tests replay
//! what was kept.
//!
//! Panics at a defect: a reply that is not JSON, one with both an answer and a fault or with neither, a fault without
//! words, a text that says a number is not finite, a solver that did not settle.
//!
//! Requests that may rightly take long are left out: searches of more than [`CANDIDATES`], files of more than [`SECTIONS`] repeated sections.

use risewater::design::{DesignFile, EXAMPLE};
use serde_json::Value;

/// Most candidates of a search.
const CANDIDATES: usize = 24;
/// Most sections of a file that may be repeated, such as `[[lift]]`.
const SECTIONS: usize = 5;
/// Most bytes of a request.
const LONGEST: usize = 8000;
/// Most points of a curve.
const POINTS: u64 = 40;

fn replied(request: &[u8]) -> Value {
    let reply = risewater_live::reply(request);
    serde_json::from_slice(&reply).expect("a reply is JSON")
}

/// Words of numbers that are none.
fn says_not_finite(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric())
        .any(|word| word == "NaN" || word == "inf")
}

/// Whether an answer comes soon.
fn is_small(request: &Value) -> bool {
    let file = request["file"].as_str().unwrap_or_default();
    if file.matches("[[").count() > SECTIONS {
        return false;
    }
    let points = request["options"]["points"].as_u64();
    if points.is_some_and(|points| points > POINTS) {
        return false;
    }
    // A header's pressures are drawn by a search within a search for each lift that loses its air.
    let drawn = !request["options"]["picture"].is_null();
    if drawn && (request["ask"] == "supply" || request["ask"] == "existing") {
        return false;
    }
    // The example has twelve lifts.
    if request["ask"] == "supply" && request["file"].is_null() {
        return false;
    }
    if request["ask"] != "size" {
        return true;
    }
    let text = request["file"].as_str().unwrap_or(EXAMPLE);
    let set = request["set"].as_object().into_iter().flatten();
    let set = set.filter_map(|(key, value)| Some(format!("{key}={}", value.as_str()?)));
    let task =
        DesignFile::parse_with(text, &set.collect::<Vec<_>>()).and_then(|read| read.problem());
    // Several duties have a search each.
    task.is_ok_and(|task| task.candidates() <= CANDIDATES)
}

/// Asks the door.
pub fn door(bytes: &[u8]) {
    if bytes.len() > LONGEST {
        return;
    }
    let request = serde_json::from_slice::<Value>(bytes).unwrap_or_default();
    if !is_small(&request) {
        return;
    }
    let reply = replied(bytes);
    let text = reply.to_string();
    assert!(!text.contains("did not settle"), "{text}");
    let Some(faults) = reply.get("fault") else {
        let its_own = says_not_finite(&String::from_utf8_lossy(bytes));
        assert!(
            its_own || !says_not_finite(&text),
            "a number that is not finite: {text}"
        );
        let is_whole = reply.get("answer").is_some() || reply.get("picture").is_some();
        let nothing_asked = request["options"]["bare"] == true;
        assert!(
            is_whole || nothing_asked,
            "neither answer nor fault: {text}"
        );
        return;
    };
    assert_eq!(
        reply.as_object().map(serde_json::Map::len),
        Some(1),
        "an answer beside a fault: {text}"
    );
    let faults = faults.as_array().expect("faults are a list");
    assert!(!faults.is_empty(), "a refusal without a fault");
    for fault in faults {
        let words = fault["text"].as_str().unwrap_or_default();
        assert!(!words.trim().is_empty(), "a fault without words: {text}");
    }
}
