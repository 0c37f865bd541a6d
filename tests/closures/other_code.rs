//! Closures that other libraries have too.

use risewater::friction::Friction;
use risewater::slip::Slip;

use crate::table::rows;
use crate::verdict::{EIGHT_DIGITS, Verdict};
use crate::{darcy, gradient, section, void_fraction};

/// Churchill's factor as the header of closure_checks.csv prints it, to nine decimals.
#[test]
fn churchill_as_printed() {
    let mut verdict = Verdict::default();
    for (reynolds, roughness, expected) in [
        (1000.0, 0.0, 0.064_000_000),
        (2000.0, 1e-4, 0.032_043_319),
        (4000.0, 0.01, 0.050_578_346),
        (50_000.0, 1e-4, 0.021_179_655),
        (1e6, 1e-5, 0.011_858_161),
    ] {
        let what = format!("Re {reynolds}, {roughness}");
        verdict.within(
            &what,
            expected - 5e-10,
            darcy(reynolds, roughness),
            expected + 5e-10,
        );
    }
    verdict.finish(5);
}

/// Nicklin in the `fluids` library and as written out, to eight digits. The other columns are closures that this
/// library does not have (Ishii's bubbly exponent is 1.75, ours 0.5).
#[test]
fn nicklin_in_other_code() {
    let mut verdict = Verdict::default();
    for row in rows("drift_flux.csv") {
        let cell = |column: &str| row.optional(column);
        let section = section(
            cell("D_m").unwrap(),
            cell("jl_m_s").unwrap(),
            cell("jg_m_s").unwrap(),
        );
        let got = void_fraction(Slip::Nicklin1962, &section);
        for column in ["Nicklin_Wilkes_Davidson", "own_Nicklin_1.2_0.35"] {
            if let Some(expected) = cell(column) {
                verdict.relative(
                    &format!("{} {column}", row.text("id")),
                    expected,
                    got,
                    EIGHT_DIGITS,
                );
            }
        }
    }
    // The library column is blank in the 20 rows without water.
    verdict.finish(140 + 120);
}

/// Smooth-pipe factor of the `fluids` library: 64/Re below 2040, Colebrook's law above.
fn library_factor(reynolds: f64) -> f64 {
    if reynolds < 2040.0 {
        return 64.0 / reynolds;
    }
    // 1/√f = −2 log10(2.51/(Re √f)), by substitution: each round gains a digit.
    let mut inverse = 8.0_f64;
    for _ in 0..60 {
        inverse = -2.0 * (2.51 * inverse / reynolds).log10();
    }
    inverse.powi(-2)
}

/// Friedel in the `fluids` library, which uses another single-phase factor than Churchill's.
///
/// The gradient is a sum of one part in proportion to f_lo and one in proportion to f_go, both positive. So the
/// ratio of ours to theirs must lie between the ratios of the two factors, at f_lo's Reynolds number and at
/// f_go's: no tolerance but the eight digits printed. The factors differ by 1.4 % at most, save in the six rows where
/// f_lo is in transition (Re 2490 to 2650): there Churchill's is 15 to 24 % below Colebrook's law.
#[test]
fn friedel_in_other_code() {
    let mut verdict = Verdict::default();
    for row in rows("drift_flux.csv") {
        let cell = |column: &str| row.optional(column);
        let Some(expected) = cell("dpf_Friedel") else {
            continue;
        };
        let (bore, j_l, j_g) = (
            cell("D_m").unwrap(),
            cell("jl_m_s").unwrap(),
            cell("jg_m_s").unwrap(),
        );
        let flux = 998.2072 * j_l + 1.20458 * j_g;
        let [liquid, gas] = [0.001_001_596_1, 1.820_568e-5].map(|viscosity| {
            let reynolds = flux * bore / viscosity;
            darcy(reynolds, 0.0) / library_factor(reynolds)
        });
        let got = gradient(Friction::Friedel1979, &section(bore, j_l, j_g), 0.5) / expected;
        verdict.within(
            &format!("{} dpf_Friedel, ours over theirs", row.text("id")),
            liquid.min(gas) - EIGHT_DIGITS,
            got,
            liquid.max(gas) + EIGHT_DIGITS,
        );
    }
    verdict.finish(120);
}

/// Darcy factors of the `fluids` library. Churchill's formula differs from Colebrook's law by up to 3.1 % and from
/// 64/Re by 0.14 % at Re 2000: its own difference, stated with the formula. Left out: Haaland, Swamee–Jain and
/// Blasius (approximations of the same law at the same points) and fittings.
#[test]
fn churchill_against_colebrook_and_laminar() {
    let mut verdict = Verdict::default();
    for row in rows("friction.csv") {
        let tolerance = match row.text("quantity") {
            "darcy_f_colebrook" | "darcy_f_clamond" => 0.031,
            "darcy_f_laminar" if row.text("Re") == "2000.0" => 0.0014,
            "darcy_f_laminar" => 1e-9,
            _ => continue,
        };
        let got = darcy(
            row.optional("Re").unwrap(),
            row.optional("eD").unwrap_or(0.0),
        );
        let what = format!(
            "{} {} Re {} ε/D {}",
            row.text("id"),
            row.text("quantity"),
            row.text("Re"),
            row.text("eD")
        );
        verdict.relative(&what, row.optional("value").unwrap(), got, tolerance);
    }
    verdict.finish(63);
}

/// Laminar flow is 64/Re exactly.
#[test]
fn laminar_is_exact() {
    for reynolds in [1e-6, 1.0, 100.0, 399.0] {
        assert_eq!(darcy(reynolds, 0.01), 64.0 / reynolds);
    }
    let mut verdict = Verdict::default();
    for reynolds in [400.0, 600.0, 1000.0] {
        verdict.relative(
            &reynolds.to_string(),
            64.0 / reynolds,
            darcy(reynolds, 0.0),
            1e-9,
        );
    }
    verdict.finish(3);
}
