//! Rows U001 to U015 and U018 to U020 of tests/data/uncertainty_checks.csv; the others, which go
//! through the public interface, are in tests/trial.

use std::collections::HashMap;

use super::*;
use crate::units::percent;

/// Value and note of each row, by number.
fn rows() -> HashMap<String, (String, String)> {
    let records = crate::check_table::rows("uncertainty_checks.csv");
    records
        .iter()
        .map(|r| (r[0].to_owned(), (r[3].to_owned(), r[7].to_owned())))
        .collect()
}

/// Holds every pair against its row: to half a unit of the eighth digit, which is how the rows are
/// written.
fn check(got: &[(&str, f64)]) {
    let rows = rows();
    let mut failures = Vec::new();
    for (id, got) in got {
        let expected: f64 = rows[*id].0.parse().unwrap();
        let tolerance = 0.500_001 * 10f64.powf(expected.abs().log10().floor() - 7.0);
        if (got - expected).abs() > tolerance {
            failures.push(format!(
                "{id}: expected {expected}, got {got}, off by {:e}",
                got / expected - 1.0
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// GUM H.1, the end gauge: four components in nm, with their degrees of freedom.
#[test]
fn end_gauge() {
    let inputs =
        [(25.0, 18.0), (9.7, 25.6), (2.9, 50.0), (16.6, 2.0)].map(|(standard, freedom)| Estimate {
            value: 0.0,
            standard,
            freedom,
        });
    let sum = propagate(&inputs, &[], |x| x.iter().sum());
    check(&[
        ("U001", sum.standard),
        ("U002", sum.standard.round()),
        ("U003", sum.freedom),
    ]);
    // The source cuts 16.7 to 16 and prints k = 2.92 and U = 93 nm at 99 %.
    let k = coverage_factor(Ratio::new::<percent>(99.0), 16.0).unwrap();
    assert_eq!(format!("{k:.2}"), "2.92");
    assert_eq!((k * sum.standard.round()).round(), 93.0);
}

const VOLT: [f64; 5] = [5.007, 4.994, 5.005, 4.990, 4.999];
const MILLIAMPERE: [f64; 5] = [19.663, 19.639, 19.640, 19.685, 19.678];
const RADIAN: [f64; 5] = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];

/// Correlation of two means from their paired repeats (eqs. 17 and 14).
fn correlation(a: &[f64], b: &[f64]) -> f64 {
    let mean = |x: &[f64]| x.iter().sum::<f64>() / count(x);
    let (mean_a, mean_b) = (mean(a), mean(b));
    let pairs = a.iter().zip(b);
    let covariance =
        pairs.map(|(x, y)| (x - mean_a) * (y - mean_b)).sum::<f64>() / (count(a) - 1.0);
    covariance / (standard_deviation(a) * standard_deviation(b))
}

/// GUM H.2: resistance, reactance and impedance from voltage, current and phase angle read
/// together, with their correlation and (wrongly) without.
#[test]
fn resistance_and_reactance() {
    let readings = [
        VOLT.to_vec(),
        MILLIAMPERE.iter().map(|i| 1e-3 * i).collect(),
        RADIAN.to_vec(),
    ];
    let inputs: Vec<Estimate> = readings.iter().map(|r| Estimate::repeated(r)).collect();
    let r = [(0, 1), (0, 2), (1, 2)].map(|(i, j)| (i, j, correlation(&readings[i], &readings[j])));
    let resistance = |x: &[f64]| x[0] / x[1] * x[2].cos();
    let reactance = |x: &[f64]| x[0] / x[1] * x[2].sin();
    let impedance = |x: &[f64]| x[0] / x[1];
    let with = [
        propagate(&inputs, &r, resistance),
        propagate(&inputs, &r, reactance),
        propagate(&inputs, &r, impedance),
    ];
    let without = [
        propagate(&inputs, &[], resistance),
        propagate(&inputs, &[], reactance),
        propagate(&inputs, &[], impedance),
    ];
    let correlated = [
        ("U004", r[0].2),
        ("U005", r[1].2),
        ("U006", r[2].2),
        ("U007", with[0].value),
        ("U008", with[0].standard),
        ("U009", without[0].standard),
        ("U010", with[1].value),
        ("U011", with[1].standard),
        ("U012", without[1].standard),
        ("U013", with[2].value),
        ("U014", with[2].standard),
        ("U015", without[2].standard),
    ];
    check(&correlated);
    // What the source prints, in the notes: "GUM prints ...". U011 is printed cut, not rounded.
    let rows = rows();
    for (id, got) in correlated {
        if let Some(printed) = rows[id].1.strip_prefix("GUM prints ") {
            let unit =
                10f64.powi(-i32::try_from(printed.split('.').nth(1).unwrap().len()).unwrap());
            let off = (got - printed.parse::<f64>().unwrap()).abs();
            assert!(off < unit, "{id}: printed {printed}, got {got}");
        }
    }
}

#[test]
fn repeats_of_one_time() {
    let times = [24.1, 23.8, 24.3, 23.9, 24.2];
    let mean = Estimate::repeated(&times);
    check(&[
        ("U018", mean.value),
        ("U019", standard_deviation(&times)),
        ("U020", mean.standard),
    ]);
    assert_eq!(mean.freedom, 4.0);
    // "Student t(95 %, 4 dof) = 2.776", in the note of U020.
    let k = coverage_factor(Ratio::new::<percent>(95.0), mean.freedom).unwrap();
    assert!(
        rows()["U020"].1.ends_with(&format!("{k:.3}")),
        "coverage factor {k}"
    );
}

/// Table G.2 of the source, from memory, at 95 % and 99 %.
#[test]
fn coverage_factors_of_the_table() {
    let table = [
        (1.0, 12.71, 63.66),
        (2.0, 4.30, 9.92),
        (3.0, 3.18, 5.84),
        (5.0, 2.57, 4.03),
        (10.0, 2.23, 3.17),
        (20.0, 2.09, 2.85),
        (100.0, 1.984, 2.626),
        (f64::INFINITY, 1.960, 2.576),
    ];
    let mut failures = Vec::new();
    for (freedom, at_95, at_99) in table {
        for (level, printed) in [(95.0, at_95), (99.0, at_99)] {
            let k = coverage_factor(Ratio::new::<percent>(level), freedom).unwrap();
            let half_a_digit = if printed < 3.0 && freedom >= 100.0 {
                5e-4
            } else {
                5e-3
            };
            if k.is_nan() || (k - printed).abs() > half_a_digit {
                failures.push(format!("{level} %, {freedom}: expected {printed}, got {k}"));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn what_cannot_be_covered() {
    let level = |value: f64| Ratio::new::<ratio>(value);
    for refused in [0.49, 1.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(coverage_factor(level(refused), 4.0).is_err(), "{refused}");
    }
    for refused in [0.0, 0.99, -3.0, f64::NAN, f64::NEG_INFINITY] {
        assert!(coverage_factor(level(0.95), refused).is_err(), "{refused}");
    }
}

/// Two inputs that move together add up; that move against each other cancel.
#[test]
fn full_correlation() {
    let inputs = [Estimate::stated(1.0, 0.1), Estimate::stated(2.0, 0.1)];
    let sum = |r: f64| propagate(&inputs, &[(0, 1, r)], |x| x[0] + x[1]).standard;
    assert!((sum(1.0) - 0.2).abs() < 1e-12);
    assert!(sum(-1.0) < 1e-8);
    assert!((sum(0.0) - 0.02f64.sqrt()).abs() < 1e-12);
}

#[test]
fn an_exact_input_contributes_nothing() {
    let inputs = [Estimate::stated(3.0, 0.0), Estimate::repeated(&[2.0, 4.0])];
    let product = propagate(&inputs, &[], |x| x[0] * x[1]);
    assert_eq!(product.contributions[0], 0.0);
    assert!((product.freedom - 1.0).abs() < 1e-9);
    let exact = propagate(&inputs[..1], &[], |x| x[0]);
    assert_eq!((exact.standard, exact.freedom), (0.0, f64::INFINITY));
}
