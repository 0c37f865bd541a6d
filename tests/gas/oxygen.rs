//! All rows of tests/data/oxygen.csv.
//!
//! Computed rows have seven significant digits, check rows those that they print. The check at 5 °C was
//! recalled as 12.770 while the equation gives 12.771: its own note allows 0.001, for that row and those
//! like it. Garcia & Gordon (1992) is another equation: its rows are held to the 2.3e-4 that the header
//! states (two digits, hence 2.35e-4).

use risewater::gas::{
    AmmoniaConditions, Gas, ammonia_fraction, benson_krause_1984, hamme_emerson_2004_argon,
    hamme_emerson_2004_nitrogen, oxygen_pressure_factor, saturation, total_gas_pressure_bound,
    weiss_1974_by_mass_of_water, weiss_1974_by_volume_of_water,
};
use risewater::units::{
    Length, MassDensity, Pressure, kilogram_per_cubic_meter, meter, micromole_per_kilogram,
    milligram_per_liter, mole_per_kilogram, mole_per_liter, pascal, percent, ratio,
};

use crate::table::{Row, rows};
use crate::{Report, atmospheres, celsius, digits, fresh, practical, printed, share};

/// What the library has for a row.
fn got(row: &Row) -> f64 {
    let t = celsius(row.number("T_degC"));
    let s = practical(row.number("S_PSS"));
    let one_atmosphere = Pressure::new::<pascal>(101_325.0);
    match row.text("quantity") {
        "do_saturation" | "do_saturation_garcia_gordon" | "do_saturation_check" => {
            let direct = benson_krause_1984(t, s)
                .unwrap()
                .get::<milligram_per_liter>();
            // The same by the way that all gases go.
            let conditions = fresh(row.number("T_degC"), row.number("p_atm")).with_salinity(s);
            let common = saturation(Gas::Oxygen, &conditions)
                .unwrap()
                .get::<milligram_per_liter>();
            assert!((common / direct - 1.0).abs() < 1e-14, "{common} {direct}");
            direct
        }
        "do_pressure_factor" => {
            let p = row.number("p_atm");
            let factor = oxygen_pressure_factor(t, atmospheres(p)).unwrap();
            let at = |p| saturation(Gas::Oxygen, &fresh(row.number("T_degC"), p)).unwrap();
            let common = (at(p) / at(1.0)).get::<ratio>();
            let factor = factor.get::<ratio>();
            assert!((common / factor - 1.0).abs() < 1e-13, "{common} {factor}");
            factor
        }
        "n2_saturation" | "n2_saturation_check" => hamme_emerson_2004_nitrogen(t, s)
            .unwrap()
            .get::<micromole_per_kilogram>(),
        "ar_saturation" | "ar_saturation_check" => hamme_emerson_2004_argon(t, s)
            .unwrap()
            .get::<micromole_per_kilogram>(),
        "co2_K0" | "co2_K0_check" => weiss_1974_by_mass_of_water(t, s, one_atmosphere)
            .unwrap()
            .get::<mole_per_kilogram>(),
        "co2_lnK0_check" => weiss_1974_by_mass_of_water(t, s, one_atmosphere)
            .unwrap()
            .get::<mole_per_kilogram>()
            .ln(),
        "co2_K0_volume" => weiss_1974_by_volume_of_water(t, s, one_atmosphere)
            .unwrap()
            .get::<mole_per_liter>(),
        "co2_equilibrium_420ppm" => {
            let conditions = fresh(row.number("T_degC"), row.number("p_atm"))
                .with_salinity(s)
                .with_carbon_dioxide(share(420e-6));
            saturation(Gas::CarbonDioxide, &conditions)
                .unwrap()
                .get::<milligram_per_liter>()
        }
        "nh3_fraction" => ammonia_fraction(&AmmoniaConditions {
            temperature: t,
            salinity: s,
            ph: share(row.number("pH")),
        })
        .unwrap()
        .get::<ratio>(),
        "tgp_equilibrium_limit" => {
            let note = row.text("note");
            let (_, depth) = note.split_once("at depth ").unwrap();
            let depth: f64 = depth.split_once(" m ").unwrap().0.parse().unwrap();
            // In full equilibrium at the depth: the mouth is as deep as the foot.
            total_gas_pressure_bound(
                Length::new::<meter>(depth),
                Length::new::<meter>(depth),
                MassDensity::new::<kilogram_per_cubic_meter>(998.2),
                atmospheres(1.0),
            )
            .unwrap()
            .get::<percent>()
        }
        "do_equilibrium_at_depth" => {
            let conditions = fresh(row.number("T_degC"), row.number("p_atm"));
            saturation(Gas::Oxygen, &conditions)
                .unwrap()
                .get::<milligram_per_liter>()
        }
        other => panic!("no such quantity: {other}"),
    }
}

#[test]
fn every_row() {
    const COUNTS: [(&str, usize); 16] = [
        ("do_saturation", 161),
        ("do_saturation_garcia_gordon", 27),
        ("do_pressure_factor", 35),
        ("do_saturation_check", 9),
        ("n2_saturation", 10),
        ("ar_saturation", 10),
        ("n2_saturation_check", 1),
        ("ar_saturation_check", 1),
        ("co2_K0", 18),
        ("co2_K0_volume", 18),
        ("co2_equilibrium_420ppm", 18),
        ("co2_lnK0_check", 1),
        ("co2_K0_check", 1),
        ("nh3_fraction", 36),
        ("tgp_equilibrium_limit", 7),
        ("do_equilibrium_at_depth", 7),
    ];
    let rows = rows("oxygen.csv");
    let mut all = 0;
    for (quantity, count) in COUNTS {
        let mut report = Report::default();
        for row in rows.iter().filter(|row| row.text("quantity") == quantity) {
            let expected = row.number("value");
            let tolerance = match quantity {
                "do_saturation_garcia_gordon" => 2.35e-4 * expected,
                "do_saturation_check" => 0.001 + printed(row.text("value")),
                name if name.ends_with("_check") => printed(row.text("value")),
                _ => digits(expected, 7),
            };
            report.row(row.text("id"), expected, got(row), tolerance);
        }
        all += report.count;
        report.done(quantity, count);
    }
    assert_eq!(all, rows.len(), "rows of no known quantity");
}
