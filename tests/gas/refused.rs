//! What is refused, with its words.

use risewater::gas::aeration::{
    AeratorPower, Field, THETA, aeration_efficiency, coefficient_at_20_c, field_transfer_rate,
    standard_transfer_efficiency,
};
use risewater::gas::{
    AmmoniaConditions, Conditions, Dissolved, Gas, Solubility, ammonia_fraction, saturation,
    total_gas_pressure, total_gas_pressure_bound, transfer_coefficient_ratio,
};
use risewater::units::{
    Length, MassDensity, Power, Ratio, kilogram_per_cubic_meter, meter, per_mille, watt,
};
use risewater::{AirFlow, Error};

use crate::{atmospheres, celsius, fresh, hourly, kg_per_h, mg_per_l, share};

fn text<T: std::fmt::Debug>(result: Result<T, Error>) -> String {
    result.unwrap_err().to_string()
}

/// The bound for depths of foot and mouth, m.
fn bound(foot: f64, mouth: f64) -> Result<Ratio, risewater::Error> {
    total_gas_pressure_bound(
        Length::new::<meter>(foot),
        Length::new::<meter>(mouth),
        MassDensity::new::<kilogram_per_cubic_meter>(998.2),
        atmospheres(1.0),
    )
}

#[test]
fn outside_the_ranges() {
    let oxygen = |at: Conditions| text(saturation(Gas::Oxygen, &at));
    assert_eq!(
        oxygen(fresh(41.0, 1.0)),
        "water temperature is 41 degC; it must lie in 0 to 40 degC"
    );
    assert_eq!(
        oxygen(fresh(20.0, 1.0).with_salinity(Ratio::new::<per_mille>(41.0))),
        "salinity is 41 g/kg; it must lie in 0 to 40.19 g/kg"
    );
    assert_eq!(
        oxygen(fresh(20.0, 0.05)),
        "absolute pressure of the gas is 5.06625 kPa; it must lie in 10 to 1100 kPa"
    );
    assert_eq!(
        oxygen(fresh(f64::NAN, 1.0)),
        "water temperature is not a finite number"
    );
    assert_eq!(
        text(saturation(
            Gas::CarbonDioxide,
            &fresh(20.0, 1.0).with_carbon_dioxide(share(1.5))
        )),
        "mole fraction of the gas is 1.5; it must lie in 0 to 1"
    );
    assert_eq!(
        text(ammonia_fraction(&AmmoniaConditions {
            temperature: celsius(20.0),
            salinity: Ratio::new::<per_mille>(35.0),
            ph: share(8.0),
        })),
        "salinity is 35 g/kg; it must lie in 0 to 0.5 g/kg"
    );
    assert_eq!(
        text(ammonia_fraction(&AmmoniaConditions {
            temperature: celsius(20.0),
            salinity: share(0.0),
            ph: share(80.0),
        })),
        "pH is 80; it must lie in 4 to 12"
    );
    assert_eq!(
        text(transfer_coefficient_ratio(Gas::Nitrogen, share(0.3))),
        "exponent of the ratio of diffusion coefficients is 0.3; it must lie in 0.5 to 1"
    );
    assert_eq!(
        text(bound(-1.0, 0.0)),
        "depth of injection is -1 m; it must lie in 0 to 100 m"
    );
    assert_eq!(
        text(bound(1.0, 101.0)),
        "depth of the submerged outlet is 101 m; it must lie in 0 to 100 m"
    );
    let mut dissolved = Dissolved::saturated(&fresh(20.0, 1.0)).unwrap();
    dissolved.argon = mg_per_l(-0.1);
    let water = Solubility::new(celsius(20.0), share(0.0)).unwrap();
    assert_eq!(
        text(total_gas_pressure(&dissolved, &water, atmospheres(1.0))),
        "dissolved gas is -0.1 mg/L; it must lie in 0 to 2000 mg/L"
    );
}

#[test]
fn aerators() {
    assert_eq!(
        text(coefficient_at_20_c(hourly(-1.0), celsius(20.0), THETA)),
        "transfer coefficient kLa is -1 1/h; it must lie in 0 to 10000 1/h"
    );
    assert_eq!(
        text(aeration_efficiency(
            kg_per_h(1.0),
            AeratorPower::Air(Power::new::<watt>(0.0))
        )),
        "power of the aerator is 0 W; it must lie in 0.001 to 1e9 W"
    );
    assert_eq!(
        text(standard_transfer_efficiency(
            kg_per_h(1.0),
            AirFlow::from_dry_mass(kg_per_h(1.0)).unwrap()
        )),
        "air flow (0.2315 kg/h of oxygen) must be more than oxygen transfer rate (1 kg/h of oxygen)"
    );
    let field = Field::clean(celsius(20.0), atmospheres(1.0), mg_per_l(5.0)).with_alpha(share(0.0));
    assert_eq!(
        text(field_transfer_rate(kg_per_h(1.0), &field)),
        "alpha, kLa in this water over clean water is 0; it must lie in 0.05 to 2"
    );
}
