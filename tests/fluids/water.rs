//! Water against IAPWS, EOS-80, TEOS-10 and the seawater ratios.

use crate::table::rows;
use crate::{Report, celsius, fresh, ninth_digit, printed};
use risewater::units::{
    Ratio, kilogram_per_cubic_meter, newton_per_meter, pascal, pascal_second, per_mille,
};
use risewater::water::{Water, saturation_vapour_pressure};

/// Salinity by mass over practical salinity, g/kg (Millero et al. 2008).
const G_PER_KG: f64 = 35.165_04 / 35.0;

fn sea(t: f64, g_per_kg: f64) -> Water {
    Water::new(celsius(t), Ratio::new::<per_mille>(g_per_kg)).unwrap()
}

fn rho(water: Water) -> f64 {
    water.density().get::<kilogram_per_cubic_meter>()
}

fn mu(water: Water) -> f64 {
    water.viscosity().get::<pascal_second>()
}

fn sigma(water: Water) -> f64 {
    water.surface_tension().get::<newton_per_meter>()
}

fn vapour(water: Water) -> f64 {
    water.vapour_pressure().get::<pascal>()
}

/// Rows of water.csv of one quantity: id, t, S (0 when empty), printed value.
fn water_rows(quantity: &str) -> Vec<(String, f64, f64, String)> {
    let wanted = rows("water.csv")
        .into_iter()
        .filter(|row| row.text("quantity") == quantity);
    wanted
        .map(|row| {
            let s = if row.text("S").is_empty() {
                0.0
            } else {
                row.number("S")
            };
            (
                row.text("id").to_owned(),
                row.number("T_degC"),
                s,
                row.text("value").to_owned(),
            )
        })
        .collect()
}

/// The number that a row prints.
fn number(text: &str) -> f64 {
    text.parse().unwrap()
}

#[test]
fn fresh_water_against_iapws() {
    // Goal for density and vapour pressure: 1e-5 of IAPWS-95. Viscosity the same, since it takes
    // that density. Surface tension is the source's own equation: its nine digits.
    for (quantity, property, tolerance, count) in [
        ("density_fresh", rho as fn(Water) -> f64, Some(1e-5), 9),
        ("viscosity_fresh", mu, Some(1e-5), 9),
        ("surface_tension_fresh", sigma, None, 9),
        ("vapour_pressure_fresh", vapour, Some(1e-5), 9),
    ] {
        let mut report = Report::default();
        for (id, t, _, value) in water_rows(quantity) {
            let value = number(&value);
            let tolerance = tolerance.map_or(ninth_digit(value), |relative| relative * value);
            report.row(&id, value, property(fresh(t)), tolerance);
        }
        report.done(quantity, count);
    }
}

#[test]
fn fresh_water_against_iapws_at_201_temperatures() {
    // Same tolerances as above; the docstring of `Water` prints the largest differences.
    let mut reports: [Report; 4] = std::array::from_fn(|_| Report::default());
    for row in rows("iapws_0_40.csv") {
        let [t, density, viscosity, surface_tension, vapour_pressure] = [
            "T_degC",
            "density",
            "viscosity",
            "surface_tension",
            "vapour_pressure",
        ]
        .map(|column| row.number(column));
        let water = fresh(t);
        let id = format!("{t} degC");
        reports[0].row(&id, density, rho(water), 1e-5 * density);
        reports[1].row(&id, viscosity, mu(water), 1e-5 * viscosity);
        reports[2].row(
            &id,
            surface_tension,
            sigma(water),
            ninth_digit(surface_tension),
        );
        reports[3].row(&id, vapour_pressure, vapour(water), 1e-5 * vapour_pressure);
    }
    let names = ["density", "viscosity", "surface tension", "vapour pressure"];
    for (report, name) in reports.into_iter().zip(names) {
        report.done(name, 201);
    }
}

#[test]
fn surface_tension_as_the_release_prints_it() {
    // Printed to 0.01 mN/m.
    let mut report = Report::default();
    for (id, t, _, value) in water_rows("surface_tension_fresh_check") {
        report.row(&id, number(&value), sigma(fresh(t)), printed(&value));
    }
    report.done("surface_tension_fresh_check", 4);
}

#[test]
fn seawater_density_ratio_against_eos_80() {
    // Salt enters as the ratio to fresh water, so rows are compared over their own S = 0 row, to
    // the nine digits of both.
    let rows = water_rows("density_seawater_eos80");
    let mut report = Report::default();
    for (id, t, s, value) in &rows {
        let base = rows.iter().find(|row| row.1 == *t && row.2 == 0.0).unwrap();
        let (value, base) = (number(value), number(&base.3));
        let tolerance = ninth_digit(value) / value + ninth_digit(base) / base;
        report.row(
            id,
            value / base,
            rho(sea(*t, s * G_PER_KG)) / rho(fresh(*t)),
            tolerance * 1.05,
        );
    }
    report.done("density_seawater_eos80", 81);
}

#[test]
fn seawater_density_against_teos_10() {
    // The two equations of state differ by up to 8.2e-6 (header of the file): 1e-5.
    let mut report = Report::default();
    for (id, t, s, value) in water_rows("density_seawater_teos10") {
        let value = number(&value);
        report.row(&id, value, rho(sea(t, s * G_PER_KG)), 1e-5 * value);
    }
    report.done("density_seawater_teos10", 81);
}

#[test]
fn seawater_viscosity_against_sharqawy() {
    // The source has its own equation for fresh water: ratios over its S = 0 row to nine digits,
    // values within the 1.5 % that it states.
    let rows = water_rows("viscosity_seawater");
    let (mut ratios, mut values) = (Report::default(), Report::default());
    for (id, t, s, value) in &rows {
        let base = rows.iter().find(|row| row.1 == *t && row.2 == 0.0).unwrap();
        let (value, base) = (number(value), number(&base.3));
        let expected = value / base;
        let tolerance = expected * (ninth_digit(value) / value + ninth_digit(base) / base);
        ratios.row(id, expected, mu(sea(*t, *s)) / mu(fresh(*t)), tolerance);
        values.row(id, value, mu(sea(*t, *s)), 0.015 * value);
    }
    ratios.done("viscosity_seawater, ratio", 54);
    values.done("viscosity_seawater, value", 54);
}

#[test]
fn seawater_surface_tension_against_nayar() {
    // Same fresh water as ours (IAPWS R1-76): nine digits.
    let mut report = Report::default();
    for (id, t, s, value) in water_rows("surface_tension_seawater") {
        let value = number(&value);
        report.row(&id, value, sigma(sea(t, s)), ninth_digit(value));
    }
    report.done("surface_tension_seawater", 48);
}

#[test]
fn salt_lowers_the_vapour_pressure_as_raoult_has_it() {
    // By hand for 35 g/kg: 1/(1 + 0.57357 × 35/965) = 0.979621.
    let fraction = vapour(sea(20.0, 35.0)) / vapour(fresh(20.0));
    assert!((fraction - 0.979_621).abs() <= 0.5e-6, "{fraction}");
}

#[test]
fn saturation_over_supercooled_water() {
    // Murphy & Koop (2005) eq. (10), from memory, its stated scatter 0.05 % aside: 0.1 % down to
    // -40 degC, as the docstring of the function says.
    for t in [-40.0, -35.0, -30.0, -25.0, -20.0, -15.0, -10.0, -5.0] {
        let k: f64 = t + 273.15;
        let ln = 54.842_763 - 6763.22 / k - 4.210 * k.ln()
            + 0.000_367 * k
            + (0.0415 * (k - 218.8)).tanh()
                * (53.878 - 1331.22 / k - 9.445_23 * k.ln() + 0.014_025 * k);
        let got = saturation_vapour_pressure(celsius(t))
            .unwrap()
            .get::<pascal>();
        assert!(
            (got / ln.exp() - 1.0).abs() < 1e-3,
            "{t} degC: {got}, {}",
            ln.exp()
        );
    }
}
