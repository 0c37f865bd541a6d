//! Rows of a CSV file of `tests/data`: `#` lines are its citation, the next line its header.

use std::collections::HashMap;
use std::path::Path;

/// One row, by column name.
#[derive(Debug, Clone)]
pub struct Row(HashMap<String, String>);

#[allow(dead_code, reason = "each test reads what its table has")]
impl Row {
    /// The text of a cell.
    pub fn text(&self, column: &str) -> &str {
        self.0
            .get(column)
            .unwrap_or_else(|| panic!("no column {column}"))
    }

    /// The number in a cell.
    pub fn number(&self, column: &str) -> f64 {
        let text = self.text(column);
        text.parse()
            .unwrap_or_else(|_| panic!("{column}: {text:?} is no number"))
    }

    /// The number in a cell; none where it is empty.
    pub fn optional(&self, column: &str) -> Option<f64> {
        (!self.text(column).is_empty()).then(|| self.number(column))
    }
}

/// All rows of a file.
pub fn rows(file: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data")
        .join(file);
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap();
    reader.deserialize().map(|row| Row(row.unwrap())).collect()
}
