//! `[gas]`: what is known of the gases of the water.

use crate::design::section::{Bound, Section};
use crate::error::Input;
use crate::gas::{DIFFUSION_EXPONENT, DISSOLVED, FRACTION, TEMPERATURE};
use crate::sizing::TOTAL_GAS_PRESSURE;
use crate::transfer::{GasTerms, TRANSFER_COEFFICIENT};
use crate::units::quantity;
use crate::units::{
    Frequency, MassConcentration, ThermodynamicTemperature, degree_celsius, hertz,
    milligram_per_liter,
};

/// `[gas]` with its defaults.
pub fn read(mut gas: Section) -> GasTerms {
    let rate: Bound<Frequency> = (Input::TransferCoefficient, TRANSFER_COEFFICIENT, |rate| {
        rate.get::<hertz>()
    });
    let temperature: Bound<ThermodynamicTemperature> =
        (Input::WaterTemperature, TEMPERATURE, |t| {
            t.get::<degree_celsius>()
        });
    let dissolved: Bound<MassConcentration> = (Input::DissolvedGas, DISSOLVED, |c| {
        c.get::<milligram_per_liter>()
    });
    let usual = GasTerms::default();
    let mut entering = |key| gas.quantity(key, quantity::concentration, dissolved);
    let terms = GasTerms {
        // In the order of `Gas::ALL`.
        entering: ["oxygen", "nitrogen", "argon", "carbon_dioxide"].map(&mut entering),
        coefficient: gas.quantity("transfer_coefficient", quantity::rate, rate),
        coefficient_temperature: gas.quantity(
            "transfer_temperature",
            quantity::temperature,
            temperature,
        ),
        diffusion_exponent: gas
            .number(
                "diffusion_exponent",
                Input::DiffusionExponent,
                DIFFUSION_EXPONENT,
            )
            .unwrap_or(usual.diffusion_exponent),
        carbon_dioxide_of_air: gas
            .number("carbon_dioxide_of_air", Input::GasFraction, FRACTION)
            .unwrap_or(usual.carbon_dioxide_of_air),
        tank: usual.tank,
        limit: gas.number(
            "total_gas_pressure_limit",
            Input::TotalGasPressureLimit,
            TOTAL_GAS_PRESSURE,
        ),
    };
    gas.close();
    terms
}
