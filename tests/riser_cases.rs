//! Operating points against an independent implementation of the same equations.
//!
//! The file's properties of water are used as listed. Its own two integrators agree to 1e-9 and its
//! water flows carry eight decimals of a litre a minute; near the threshold the flow is
//! ill-conditioned, hence 1e-6 relative or 1e-9 m³/s.

mod table;

use risewater::riser::{Dimensions, Outlet, Site};
use risewater::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, Ratio, SurfaceTension,
    ThermodynamicTemperature, VolumeRate, cubic_meter_per_second, degree_celsius,
    kilogram_per_cubic_meter, liter_per_minute, meter, micrometer, millimeter, newton_per_meter,
    pascal, pascal_second, ratio,
};
use risewater::water::WaterProperties;
use risewater::{AirFlow, AirState, Model, RiserSpec, Water};

const RELATIVE: f64 = 1e-6;
const ABSOLUTE_M3_PER_S: f64 = 1e-9;

#[test]
fn every_case_agrees() {
    let mut failures = Vec::new();
    let rows = table::rows("riser_cases.csv");
    assert_eq!(rows.len(), 60);
    for (n, row) in rows.iter().enumerate() {
        let (expected, got, outcome) = solve(row);
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

fn solve(row: &table::Row) -> (f64, f64, risewater::Outcome) {
    let water = Water::from_properties(WaterProperties {
        temperature: ThermodynamicTemperature::new::<degree_celsius>(row.number("water_temp_c")),
        salinity: Ratio::new::<ratio>(0.0),
        density: MassDensity::new::<kilogram_per_cubic_meter>(row.number("rho_kg_m3")),
        viscosity: DynamicViscosity::new::<pascal_second>(row.number("mu_pa_s")),
        surface_tension: SurfaceTension::new::<newton_per_meter>(row.number("sigma_n_m")),
        vapour_pressure: AbsolutePressure::new::<pascal>(row.number("p_vap_pa")),
    })
    .unwrap();
    let site = Site {
        water,
        atmosphere: AbsolutePressure::new::<pascal>(row.number("p_atm_pa")),
    };
    let bores = Ratio::new::<ratio>(row.number("developing_length_bores"));
    let model = Model::new(
        row.text("slip").parse().unwrap(),
        row.text("friction").parse().unwrap(),
    )
    .with_developing_length(bores);
    let riser = RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(row.number("bore_mm")),
        submergence: Length::new::<meter>(row.number("submergence_m")),
        lift: Length::new::<meter>(row.number("lift_m")),
    })
    .with_suction_length(Length::new::<meter>(row.number("suction_m")))
    .with_roughness(Length::new::<micrometer>(row.number("roughness_um")))
    .with_entrance_loss(Ratio::new::<ratio>(row.number("k_in")))
    .with_outlet(Outlet::Plain {
        loss: Ratio::new::<ratio>(row.number("k_out")),
    })
    .build(&site, model)
    .unwrap();
    let volume = VolumeRate::new::<liter_per_minute>(row.number("air_l_min_dry_20c_101325"));
    let air = AirFlow::at(volume, &AirState::DRY_20_C).unwrap();
    let outcome = riser.operate(air).unwrap();
    let expected = row.number("water_l_min") / 6e4;
    (
        expected,
        outcome.water_flow().get::<cubic_meter_per_second>(),
        outcome,
    )
}

/// The same cases with this library's own water properties, which differ from the file's
/// (IAPWS-IF97) by up to 1e-6 in density and 5e-5 in vapour pressure.
#[cfg(feature = "files")]
#[test]
fn every_case_agrees_through_a_design_file() {
    use risewater::design::Design;
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
        let design = Design::parse(&text).unwrap();
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
