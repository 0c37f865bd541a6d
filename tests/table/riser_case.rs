//! A row of `tests/data/riser_cases.csv` as a riser with its air.

use risewater::riser::{Dimensions, Outlet, Site};
use risewater::units::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, Ratio, SurfaceTension,
    ThermodynamicTemperature, VolumeRate, degree_celsius, kilogram_per_cubic_meter,
    liter_per_minute, meter, micrometer, millimeter, newton_per_meter, pascal, pascal_second,
    ratio,
};
use risewater::water::WaterProperties;
use risewater::{AirFlow, AirState, Model, Riser, RiserSpec, Water};

use super::table::Row;

/// The riser in water of the row's own properties, its air, and the water flow expected, L/min.
pub fn riser_case(row: &Row) -> (Riser, AirFlow, f64) {
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
    (riser, air, row.number("water_l_min"))
}
