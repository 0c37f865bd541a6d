//! What must be known of gases in a tank's water.

use crate::error::{Error, Input, Range};
use crate::units::{MassConcentration, Ratio, milligram_per_liter, ratio};

/// Oxygen of water in touch with air.
pub const OXYGEN_SATURATION: Range = Range::new(0.1, 1000.0, "mg/L");
/// Carbon dioxide of water in touch with air; at none, degassing removes a share of all.
pub const CARBON_DIOXIDE_OF_AIR: Range = Range::new(0.0, 1000.0, "mg/L");
/// Un-ionised shares of the ammonia.
pub const AMMONIA_FRACTION: Range = Range::new(1e-9, 1.0, "");

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
    /// Un-ionised ammonia, over total ammonia nitrogen, both as nitrogen.
    pub ammonia_fraction: Ratio,
}

impl Gases {
    pub(super) fn check(&self) -> Result<(), Error> {
        let saturation = self.oxygen_saturation.get::<milligram_per_liter>();
        OXYGEN_SATURATION.check(Input::OxygenSaturation, saturation)?;
        let of_air = self.carbon_dioxide_of_air.get::<milligram_per_liter>();
        CARBON_DIOXIDE_OF_AIR.check(Input::CarbonDioxideOfAir, of_air)?;
        AMMONIA_FRACTION.check(Input::AmmoniaFraction, self.ammonia_fraction.get::<ratio>())?;
        Ok(())
    }
}
