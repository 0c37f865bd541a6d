//! Keys that stand for the same input.

/// Keys of a file that stand for the same input: the first is the one that [`Input::key`] gives.
const SPELLINGS: [[&str; 2]; 4] = [
    ["riser.bore", "riser.pipe"],
    ["site.pressure", "site.altitude"],
    ["air.flow", "air.mass_flow"],
    ["limits.standards", "limits.pipes"],
];

/// The keys of a numbered section that stand for an input of `[riser]`, the likelier first.
pub fn spellings_in(section: &str, key: &str) -> Vec<String> {
    match key {
        "bore" => vec!["bore".to_owned(), "pipe".to_owned()],
        _ if section.contains(' ') => vec![key.to_owned()],
        _ => Vec::new(),
    }
}

/// The keys of a file that stand for an input, by the one that names it.
pub fn spellings(key: &'static str) -> Vec<&'static str> {
    SPELLINGS
        .into_iter()
        .find(|keys| keys[0] == key)
        .map_or_else(|| vec![key], Vec::from)
}
