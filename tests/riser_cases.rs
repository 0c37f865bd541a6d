//! Operating points against an independent implementation of the same equations.
//!
//! The file's properties of water are used as listed. Its own two integrators agree to 1e-9 and its
//! water flows carry eight decimals of a litre a minute; near the threshold the flow is
//! ill-conditioned, hence 1e-6 relative or 1e-9 m³/s.

#[path = "table/riser_case.rs"]
mod riser_case;
mod table;

use risewater::units::{cubic_meter_per_second, pascal, ratio};

const RELATIVE: f64 = 1e-6;
const ABSOLUTE_M3_PER_S: f64 = 1e-9;

#[test]
fn every_case_agrees() {
    let mut failures = Vec::new();
    let rows = table::rows("riser_cases.csv");
    assert_eq!(rows.len(), 60);
    for (n, row) in rows.iter().enumerate() {
        let (riser, air, water_l_min) = riser_case::riser_case(row);
        let outcome = riser.operate(air).unwrap();
        let expected = water_l_min / 6e4;
        let got = outcome.water_flow().get::<cubic_meter_per_second>();
        let off = (got - expected).abs();
        if off > (RELATIVE * expected).max(ABSOLUTE_M3_PER_S) {
            failures.push(format!(
                "row {n}: expected {expected:e}, got {got:e}, relative {:e}",
                off / expected
            ));
        }
        if let Some(point) = outcome.point() {
            let checks = [
                ("foot_pressure_pa", point.foot.pressure.get::<pascal>()),
                ("void_foot", point.foot.void_fraction.get::<ratio>()),
                ("void_top", point.top.void_fraction.get::<ratio>()),
            ];
            // Eight digits of void; near the threshold they follow the flow.
            for (name, value) in checks {
                let wanted = row.number(name);
                if (value / wanted - 1.0).abs() > RELATIVE {
                    failures.push(format!("row {n}, {name}: expected {wanted}, got {value}"));
                }
            }
        }
    }
    assert!(
        failures.is_empty(),
        "{} of {} fail:\n{}",
        failures.len(),
        rows.len(),
        failures.join("\n")
    );
}

/// The same cases with this library's own water properties, which differ from the file's
/// (IAPWS-IF97) by up to 1e-6 in density and 5e-5 in vapour pressure.
#[cfg(feature = "files")]
#[test]
fn every_case_agrees_through_a_design_file() {
    use risewater::design::DesignFile;
    let mut failures = Vec::new();
    for (n, row) in table::rows("riser_cases.csv").iter().enumerate() {
        let cell = |name| row.text(name);
        let text = format!(
            "[water]\ntemperature = \"{} degC\"\nsalinity = \"0 g/kg\"\n[site]\npressure = \"{} Pa\"\n\
             [riser]\nbore = \"{} mm\"\nroughness = \"{} um\"\nsubmergence = \"{} m\"\nlift = \"{} m\"\n\
             suction_length = \"{} m\"\nentrance_loss = {}\noutlet = \"plain\"\noutlet_loss = {}\n\
             [air]\nflow = \"{} L/min\"\nreference = {{ temperature = \"20 degC\", pressure = \"101.325 kPa\" }}\n\
             [model]\nslip = \"{}\"\nfriction = \"{}\"\ndeveloping_length = {}\n",
            cell("water_temp_c"),
            cell("p_atm_pa"),
            cell("bore_mm"),
            cell("roughness_um"),
            cell("submergence_m"),
            cell("lift_m"),
            cell("suction_m"),
            cell("k_in"),
            cell("k_out"),
            cell("air_l_min_dry_20c_101325"),
            cell("slip"),
            cell("friction"),
            cell("developing_length_bores"),
        );
        let design = DesignFile::parse(&text).unwrap();
        let outcome = design
            .riser()
            .unwrap()
            .operate(design.air().unwrap())
            .unwrap();
        let (expected, got) = (
            row.number("water_l_min") / 6e4,
            outcome.water_flow().get::<cubic_meter_per_second>(),
        );
        if (got - expected).abs() > (5e-4 * expected).max(ABSOLUTE_M3_PER_S) {
            failures.push(format!(
                "row {n}: expected {expected:e}, got {got:e}, relative {:e}",
                got / expected - 1.0
            ));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
