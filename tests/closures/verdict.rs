//! A verdict over all rows of a table.

/// Half a unit in the eighth significant digit, at worst (a mantissa of 1.0000000).
pub const EIGHT_DIGITS: f64 = 5.1e-8;

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
