use super::assert_says;

/// Cases of the question.
const CASES: f64 = 1e9;
/// Processor time of a case as `benches/README.md` has it, in seconds.
const IN_TURN: f64 = 1.3e-6;
const ALONE: f64 = 4e-6;
const WITH_INTERVAL: f64 = 61e-6;
/// Bytes of a row there.
const ROW: f64 = 48.0;

#[test]
fn what_a_thousand_million_cost() {
    let hours = |seconds: f64| CASES * seconds / 3600.0;
    assert_says!("| 22 minutes of one processor", 60.0 * hours(IN_TURN));
    assert_says!("| 1.1 hours of one processor", hours(ALONE));
    assert_says!("| 17 hours of one processor", hours(WITH_INTERVAL));
    assert_says!("a thousand million take 48 GB", CASES * ROW / 1e9);
}
