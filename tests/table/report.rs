//! Rows held against their tolerances, all of a table before the first failure.

/// Collects what is off, and fails with all of it.
#[derive(Default)]
pub struct Report {
    pub count: usize,
    worst: f64,
    failures: Vec<String>,
}

impl Report {
    pub fn row(&mut self, id: &str, expected: f64, got: f64, tolerance: f64) {
        let relative = got / expected - 1.0;
        self.count += 1;
        self.worst = self.worst.max(relative.abs());
        // a NaN must fail
        let good = (got - expected).abs() <= tolerance;
        if !good {
            self.failures.push(format!(
                "{id}: expected {expected}, got {got}, relative error {relative:.2e}"
            ));
        }
    }

    pub fn done(self, what: &str, count: usize) {
        println!(
            "{what}: {} rows, largest relative difference {:.2e}",
            self.count, self.worst
        );
        let failures = self.failures;
        assert!(failures.is_empty(), "{what}:\n{}", failures.join("\n"));
        assert_eq!(self.count, count, "{what}: number of rows");
    }
}
