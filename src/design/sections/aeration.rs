//! `[aeration]`: an aeration test, and where the aerator is to work.

use strum::VariantNames;

use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::error::{Error, Input, NameKind};
use crate::gas::aeration::{AERATED_VOLUME, ALPHA, AeratorPower, BETA, POWER};
use crate::gas::{DISSOLVED, TEMPERATURE};
use crate::units::quantity;
use crate::units::{
    MassConcentration, Power, Ratio, ThermodynamicTemperature, Volume, cubic_meter, degree_celsius,
    milligram_per_liter, watt,
};

/// `[aeration]` as given.
#[derive(Debug, Default)]
pub struct GivenAeration {
    pub readings: Option<String>,
    pub volume: Option<Volume>,
    pub power: Option<AeratorPower>,
    pub field_temperature: Option<ThermodynamicTemperature>,
    pub field_oxygen: Option<MassConcentration>,
    pub alpha: Option<Ratio>,
    pub beta: Option<Ratio>,
}

impl GivenAeration {
    pub fn read(mut section: Section) -> Self {
        let volume: Bound<Volume> = (Input::AeratedVolume, AERATED_VOLUME, |v| {
            v.get::<cubic_meter>()
        });
        let power: Bound<Power> = (Input::AeratorPower, POWER, |p| p.get::<watt>());
        let temperature: Bound<ThermodynamicTemperature> =
            (Input::WaterTemperature, TEMPERATURE, |t| {
                t.get::<degree_celsius>()
            });
        let oxygen: Bound<MassConcentration> =
            (Input::Oxygen, DISSOLVED, |c| c.get::<milligram_per_liter>());
        let watts = section.quantity("power", quantity::power, power);
        let kind: Option<fn(Power) -> AeratorPower> = match section.text("power_kind") {
            None | Some("wire") => Some(AeratorPower::Wire),
            Some("shaft") => Some(AeratorPower::Shaft),
            Some("air") => Some(AeratorPower::Air),
            Some(name) => {
                let error = Error::unknown_name(NameKind::PowerKind, name, AeratorPower::VARIANTS);
                section.fault("power_kind", Problem::Refused(error));
                None
            }
        };
        let given = Self {
            readings: section.text("readings").map(str::to_owned),
            volume: section.quantity("volume", quantity::volume, volume),
            power: kind.zip(watts).map(|(kind, watts)| kind(watts)),
            field_temperature: section.quantity(
                "field_temperature",
                quantity::temperature,
                temperature,
            ),
            field_oxygen: section.quantity("field_oxygen", quantity::concentration, oxygen),
            alpha: section.number("alpha", Input::AerationAlpha, ALPHA),
            beta: section.number("beta", Input::AerationBeta, BETA),
        };
        let others = ["field_temperature", "alpha", "beta"];
        if !section.has("field_oxygen") && others.iter().any(|key| section.has(key)) {
            let expected =
                "the oxygen of the water where the aerator is to work, such as \"6 mg/L\"";
            section.fault("field_oxygen", Problem::Missing { expected });
        }
        if section.has("power_kind") && !section.has("power") {
            let expected = "the power of that kind, such as \"65 W\"";
            section.fault("power", Problem::Missing { expected });
        }
        section.close();
        given
    }
}
