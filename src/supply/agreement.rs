//! Lines and holes against an independent evaluation (`tests/data/air_supply.csv`), with its own gas
//! constant and viscosity, so that every printed digit counts.

use super::line::Duct;
use super::orifice::{CHOKING_DROP, CHOKING_SHAPE, Plate, Throat};
use crate::check_table::rows;
use crate::pipe::colebrook_1939::darcy;

/// Of the table.
const GAS_CONSTANT: f64 = 287.05287;
/// Of the table, as printed: ±2.7e-6 relative.
const VISCOSITY: f64 = 1.82057e-5;
/// Half a unit in the eighth significant digit, at worst.
const EIGHT_DIGITS: f64 = 5.1e-8;

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
    for row in rows("air_supply.csv") {
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
            let shape = (1.0 - CHOKING_DROP).powf(1.0 / 1.4);
            assert!((CHOKING_SHAPE / shape - 1.0).abs() < 1e-15, "{id}");
            (1.0 - CHOKING_DROP, EIGHT_DIGITS)
        } else {
            // Compression and depth are checked beside their own code.
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
    // 7 lines of four numbers and one bound, 5 holes of one each, and the ratio at which a hole chokes.
    assert_eq!((compared, bracketed), (7 * 4 + 5 + 1, 7 + 5));
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

/// Plates in a line against `orifice_plates.csv`, forwards and backwards, and the flow of S071 in `air_supply.csv`.
#[test]
fn every_plate() {
    let mut compared = 0;
    for row in rows("orifice_plates.csv") {
        let number = |n: usize| -> f64 { row[n].parse().unwrap() };
        let (bore, c, p1, p2) = (number(1), number(3), number(4), number(5));
        let rt = GAS_CONSTANT * number(6);
        let plate = Plate::new(c, bore, (number(2) / bore).powi(2), rt);
        let (mass, loss) = (number(8), number(9));
        // Ten digits are printed.
        let close = |what: &str, got: f64, expected: f64| {
            let off: f64 = got / expected - 1.0;
            assert!(
                off.abs() < 1e-9,
                "{} {what}: {expected}, got {got}",
                &row[0]
            );
        };
        close(
            "expansibility",
            plate.expansibility(1.0 - p2 / p1),
            number(7),
        );
        close("flow", plate.kg_per_s(p1, p1 - loss), mass);
        close(
            "loss",
            plate.upstream_pa(mass, p1 - loss) - (p1 - loss),
            loss,
        );
        if &row[0] == "P1" {
            let s071 = rows("air_supply.csv");
            let s071 = s071.iter().find(|row| &row[0] == "S071").unwrap();
            // Its density is printed to six digits.
            let off = mass / s071[3].parse::<f64>().unwrap() - 1.0;
            assert!(off.abs() < 5e-6, "{off:e}");
        }
        compared += 1;
    }
    assert_eq!(compared, 7);
}

/// Forwards and backwards agree on both sides of the choking of the throat, where both laws meet.
#[test]
fn a_plate_chokes_at_its_throat() {
    for beta2 in [0.01, 0.25, 0.5625, 0.9] {
        let plate = Plate::new(0.62, 0.016, beta2, 84_000.0);
        let mut last = 0.0;
        for p1 in [100_001.0, 101e3, 110e3, 125e3, 150e3, 200e3, 300e3, 900e3] {
            let m = plate.kg_per_s(p1, 100e3);
            assert!(m > last, "{beta2} {p1}");
            last = m;
            let back = plate.upstream_pa(m, 100e3);
            assert!((back / p1 - 1.0).abs() < 1e-12, "{beta2} {p1} {back}");
        }
        assert!(plate.choked(900e3, 100e3) && !plate.choked(101e3, 100e3));
        // Choked, the pressure behind the plate does not matter.
        assert_eq!(plate.kg_per_s(900e3, 100e3), plate.kg_per_s(900e3, 50e3));
    }
}
