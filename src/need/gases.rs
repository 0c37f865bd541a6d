//! What must be known of gases in a tank's water.

use super::TankWater;
use crate::error::{Error, Input, range};
use crate::gas::{
    AMMONIA_SALINITY, AmmoniaConditions, Conditions, Gas, ammonia_fraction, saturation,
};
use crate::units::{MassConcentration, Ratio, milligram_per_liter, per_mille, ratio};

range!(OXYGEN_SATURATION, 0.1 to 1000 "mg/L", "Oxygen of water in touch with air.");
range!(CARBON_DIOXIDE_OF_AIR, 0 to 1000 "mg/L",
    "Carbon dioxide of water in touch with air; at none, degassing removes a share of all.");
range!(AMMONIA_FRACTION, 1e-9 to 1, "Un-ionised shares of the ammonia.");

/// What solubility and acidity make of a tank's water, at its own temperature, salinity, pressure and pH.
///
/// The balances take it as given. Where the water changes, as in a [`Cycle`](super::Cycle), a function of
/// the [`TankWater`](super::TankWater) gives it day by day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gases {
    /// Dissolved oxygen at saturation with air.
    pub oxygen_saturation: MassConcentration,
    /// Carbon dioxide at equilibrium with air: as far as degassing goes.
    pub carbon_dioxide_of_air: MassConcentration,
    /// Un-ionised ammonia, over total ammonia nitrogen, both as nitrogen; none where no formula for it is at hand,
    /// as in salt water.
    pub ammonia_fraction: Option<Ratio>,
}

impl Gases {
    /// Those of [`crate::gas`]: oxygen and carbon dioxide at saturation with outdoor air, and in fresh water the
    /// un-ionised share of the ammonia.
    ///
    /// # Errors
    /// As [`saturation`] and [`ammonia_fraction`].
    ///
    /// # Examples
    /// ```
    /// use risewater::need::{Gases, TankWater};
    /// use risewater::units::*;
    ///
    /// let gases = Gases::of(&TankWater {
    ///     temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
    ///     salinity: Ratio::new::<per_mille>(0.0),
    ///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    ///     ph: Ratio::new::<ratio>(7.5),
    /// })?;
    /// // Benson & Krause (1984): 8.263 mg/L at 25 °C; Emerson et al. (1975): 0.01762 at pH 7.5
    /// let oxygen = gases.oxygen_saturation.get::<milligram_per_liter>();
    /// assert_eq!(format!("{oxygen:.2}"), "8.26");
    /// let share = gases.ammonia_fraction.expect("fresh water");
    /// assert_eq!(format!("{:.4}", share.get::<ratio>()), "0.0176");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn of(water: &TankWater) -> Result<Self, Error> {
        let air =
            Conditions::fresh(water.temperature, water.atmosphere).with_salinity(water.salinity);
        let conditions = AmmoniaConditions {
            temperature: water.temperature,
            salinity: water.salinity,
            ph: water.ph,
        };
        let fresh = AMMONIA_SALINITY.contains(water.salinity.get::<per_mille>());
        Ok(Self {
            oxygen_saturation: saturation(Gas::Oxygen, &air)?,
            carbon_dioxide_of_air: saturation(Gas::CarbonDioxide, &air)?,
            ammonia_fraction: fresh.then(|| ammonia_fraction(&conditions)).transpose()?,
        })
    }

    pub(super) fn check(&self) -> Result<(), Error> {
        let saturation = self.oxygen_saturation.get::<milligram_per_liter>();
        OXYGEN_SATURATION.check(Input::OxygenSaturation, saturation)?;
        let of_air = self.carbon_dioxide_of_air.get::<milligram_per_liter>();
        CARBON_DIOXIDE_OF_AIR.check(Input::CarbonDioxideOfAir, of_air)?;
        if let Some(fraction) = self.ammonia_fraction {
            AMMONIA_FRACTION.check(Input::AmmoniaFraction, fraction.get::<ratio>())?;
        }
        Ok(())
    }
}
