//! Lines and holes against an independent evaluation (`tests/data/air_supply.csv`), with its own gas
//! constant and viscosity, so that every printed digit counts.

use super::line::Duct;
use super::orifice::Throat;
use crate::friction::colebrook_1939::darcy;

/// Of the table.
const GAS_CONSTANT: f64 = 287.05287;
/// Of the table, as printed: ±2.7e-6 relative.
const VISCOSITY: f64 = 1.82057e-5;
/// Half a unit in the eighth significant digit, at worst.
const EIGHT_DIGITS: f64 = 5.1e-8;

fn rows() -> Vec<csv::StringRecord> {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/data/air_supply.csv");
    csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .from_path(path)
        .unwrap()
        .records()
        .map(Result::unwrap)
        .collect()
}

/// A number of the inputs column, such as `D=0.0266 m; L=30 m`.
fn input(inputs: &str, name: &str) -> f64 {
    let of = |part: &str| {
        let (key, value) = part.trim().split_once('=')?;
        (key == name).then(|| value.split(' ').next().unwrap().parse().unwrap())
    };
    inputs.split(';').find_map(of).unwrap()
}

#[test]
fn every_line_and_hole() {
    let (mut compared, mut bracketed, mut failures) = (0, 0, Vec::new());
    let mut mass = f64::NAN;
    for row in rows() {
        let (id, quantity, inputs) = (&row[0], &row[1], &row[2]);
        let expected: f64 = row[3].parse().unwrap();
        let number = |name: &str| input(inputs, name);
        let mut between = |low: f64, got: f64, high: f64| {
            bracketed += 1;
            (!(low < got && got < high))
                .then(|| format!("{id} {quantity}: {low} to {high}, got {got}"))
        };
        let (got, tolerance) = if inputs.contains("eps=") {
            let (bore, rt) = (number("D"), GAS_CONSTANT * number("T"));
            let duct = Duct {
                bore_m: bore,
                area_m2: std::f64::consts::FRAC_PI_4 * bore * bore,
                length_m: number("L"),
                eps: number("eps") / bore,
                k: 0.0,
                rt,
                mu_pa_s: VISCOSITY,
            };
            // DIN 1343
            let m = number("Q") / 3600.0 * 101_325.0 / (GAS_CONSTANT * 273.15);
            let reynolds = duct.flux(m) * bore / VISCOSITY;
            let (p2, f) = (number("p2"), darcy(reynolds, duct.eps));
            match quantity {
                "mass_flow" => {
                    mass = m;
                    (m, EIGHT_DIGITS)
                }
                "reynolds" => (reynolds, 2.7e-6 + EIGHT_DIGITS),
                // f goes with less than Re^-0.25.
                "darcy_f" => (f, 7e-7 + EIGHT_DIGITS),
                "p1_isothermal" => (duct.inlet_pa(m, p2), EIGHT_DIGITS),
                // Air is lightest at the outlet: the loss at its density there is the most, and that
                // at the inlet's, p2/p1 of it, the least.
                "dp_incompressible_at_p2_density" => {
                    let p1 = duct.inlet_pa(m, p2);
                    failures.extend(between(expected * p2 / p1, p1 - p2, expected));
                    continue;
                }
                other => panic!("{other}"),
            }
        } else if quantity.starts_with("orifice_mass_flow") {
            let throat = Throat {
                effective_m2: number("Cd") * std::f64::consts::FRAC_PI_4 * number("d").powi(2),
                rt: GAS_CONSTANT * number("T"),
            };
            let (p1, p2) = (number("p1"), number("p2"));
            let m = throat.kg_per_s(p1, p2);
            if !quantity.ends_with("isentropic") {
                // C_d A √(2 ρ1 Δp) is the most; air that expands goes faster than that with less
                // than (p2/p1)^(1/γ) of its density.
                let least = expected * (p2 / p1).powf(1.0 / 1.4);
                failures.extend(between(least, m, expected));
                continue;
            }
            assert!((throat.upstream_pa(m, p2) / p1 - 1.0).abs() < 1e-13, "{id}");
            (m, EIGHT_DIGITS)
        } else if quantity == "critical_pressure_ratio" {
            // The pressure ratio from which on the flow stays.
            assert!(Throat::choked(1e5, 1e5 * (expected - 1e-7)));
            assert!(!Throat::choked(1e5, 1e5 * (expected + 1e-7)));
            continue;
        } else {
            // Compression, plate and depth are checked beside their own code.
            continue;
        };
        compared += 1;
        let off: f64 = got / expected - 1.0;
        if off.is_nan() || off.abs() > tolerance {
            failures.push(format!("{id} {quantity}: {expected}, got {got}, {off:.1e}"));
        }
    }
    assert!(mass > 0.0);
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    // 7 lines of four numbers and one bound, 5 holes of one each.
    assert_eq!((compared, bracketed), (7 * 4 + 5, 7 + 5));
}

#[test]
fn a_choked_hole_takes_its_pressure_from_upstream_alone() {
    let throat = Throat {
        effective_m2: 1e-6,
        rt: 84_000.0,
    };
    assert_eq!(throat.kg_per_s(3e5, 1e5), throat.kg_per_s(3e5, 0.5e5));
    let m = throat.kg_per_s(3e5, 1e5);
    assert!((throat.upstream_pa(m, 1e5) / 3e5 - 1.0).abs() < 1e-13);
    // Both formulas meet where choking sets in.
    let limit = 3e5 * 0.528_281_79;
    let (above, below) = (
        throat.kg_per_s(3e5, 1.000_001 * limit),
        throat.kg_per_s(3e5, limit),
    );
    assert!((above / below - 1.0).abs() < 1e-9);
}
