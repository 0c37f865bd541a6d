//! Rows of a data file, and a verdict over all of them.

use std::collections::HashMap;

/// Half a unit in the eighth significant digit, at worst (a mantissa of 1.0000000).
pub const EIGHT_DIGITS: f64 = 5.1e-8;

/// The rows of a file by column name.
pub fn rows(file: &str) -> Vec<HashMap<String, String>> {
    let path = format!("{}/tests/data/{file}", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).expect(&path);
    let mut lines = text
        .lines()
        .filter(|line| !line.starts_with('#') && !line.is_empty());
    let header = cells(lines.next().expect("a header"));
    lines
        .map(|line| header.iter().cloned().zip(cells(line)).collect())
        .collect()
}

/// The cells of a line; a cell in double quotes may hold commas.
pub fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            _ => cells.last_mut().expect("one cell").push(letter),
        }
    }
    cells
}

/// A number of a row; `None` where the cell is empty.
pub fn number(row: &HashMap<String, String>, column: &str) -> Option<f64> {
    let cell = row
        .get(column)
        .unwrap_or_else(|| panic!("no column {column}"));
    if cell.is_empty() {
        None
    } else {
        Some(cell.parse().expect(cell))
    }
}

/// Gathers what differs and fails with all of it.
#[derive(Default)]
pub struct Verdict {
    compared: usize,
    failures: Vec<String>,
}

impl Verdict {
    pub fn relative(&mut self, what: &str, expected: f64, got: f64, tolerance: f64) {
        self.compared += 1;
        let error = got / expected - 1.0;
        if error.is_nan() || error.abs() > tolerance {
            self.failures.push(format!(
                "{what}: expected {expected}, got {got}, off by {error:.2e}"
            ));
        }
    }

    pub fn within(&mut self, what: &str, low: f64, got: f64, high: f64) {
        self.compared += 1;
        if !(low..=high).contains(&got) {
            self.failures
                .push(format!("{what}: expected {low} to {high}, got {got}"));
        }
    }

    pub fn finish(self, compared: usize) {
        assert!(
            self.failures.is_empty(),
            "{} of {} differ:\n{}",
            self.failures.len(),
            self.compared,
            self.failures.join("\n")
        );
        assert_eq!(self.compared, compared, "numbers compared");
    }
}
