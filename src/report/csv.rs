//! Cells and headers that tables of CSV share.

/// A text as a cell of CSV.
pub(super) fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r', ';']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// A unit as the end of a header, such as `l_per_min`.
pub(super) fn unit_key(unit: &str) -> String {
    unit.replace('/', "_per_").to_lowercase()
}
