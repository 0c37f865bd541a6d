//! Rows as CSV: numbers as the shortest text that reads back to the same number.

use std::io::Write;

use super::Sweep;
use super::columns::Value;
use super::rows::Chunk;

impl Sweep {
    /// The line of names.
    pub(super) fn csv_head(&self) -> String {
        self.columns().join(",") + "\n"
    }

    /// The lines of a chunk.
    pub(super) fn csv(&self, chunk: &Chunk) -> Vec<u8> {
        let mut text = Vec::with_capacity(256 * chunk.rows.len());
        let digits = chunk.digits.chunks(self.axes.len().max(1));
        for (row, digits) in chunk.rows.iter().zip(digits) {
            for (axis, digit) in self.axes.iter().zip(digits) {
                // Memory takes whatever it is given.
                let _ = match axis.names() {
                    Some(names) => names
                        .get(*digit)
                        .map(|name| write!(text, "{}", quoted(name))),
                    None => Some(write!(text, "{}", axis.number(*digit))),
                };
                text.push(b',');
            }
            for column in self.results() {
                let _ = match column.value {
                    Value::Number(value) => value(row).map(|value| write!(text, "{value}")),
                    Value::Name(value) => {
                        value(row).map(|value| write!(text, "{}", quoted(&value)))
                    }
                };
                text.push(b',');
            }
            text.pop();
            text.push(b'\n');
        }
        text
    }
}

/// A name as a cell.
fn quoted(text: &str) -> std::borrow::Cow<'_, str> {
    if text.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", text.replace('"', "\"\"")).into()
    } else {
        text.into()
    }
}
