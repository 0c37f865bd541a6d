//! What a running airlift costs, beside what it could cost.

use crate::error::{Error, Input, range};
use crate::units::{
    Energy, Length, MassDensity, Power, Ratio, STANDARD_GRAVITY, Time, Volume, VolumeRate, base,
    cubic_meter, day, kilowatt_hour, watt,
};

range!(WIRE_POWER, 1e-6 to 1e9 "W", "Powers at the wire.");
range!(PRICE, 0 to 1e6, "Prices of a kilowatt-hour.");

/// A price of electricity.
#[derive(Debug, Clone, PartialEq)]
pub struct Tariff {
    /// Price of a kilowatt-hour in the currency.
    pub price_per_kilowatt_hour: f64,
    /// Name of the currency, as printed.
    pub currency: String,
}

/// Power of an installation that runs without pause, and what becomes of it.
///
/// ```text
/// useful   ρ g Q H            what lifting the water takes at 100 % efficiency
/// ideal    Σ ṁ R T ln(p0/p_a) isothermal power of the air at the injection points
/// wire     what is paid for
/// ```
///
/// # Examples
/// ```
/// use risewater::supply::EnergyUse;
/// use risewater::units::*;
///
/// let energy = EnergyUse {
///     wire_power: Power::new::<watt>(1000.0),
///     ideal_power: Power::new::<watt>(300.0),
///     useful_power: Power::new::<watt>(60.0),
///     water_flow: VolumeRate::new::<cubic_meter_per_hour>(100.0),
/// };
/// assert_eq!(format!("{:.3}", energy.per_day().get::<kilowatt_hour>()), "24.000");
/// // 1 kWh an hour for 100 m³ an hour.
/// assert_eq!(format!("{:.3}", energy.per_1000_m3().unwrap().get::<kilowatt_hour>()), "10.000");
/// assert_eq!(format!("{:.0}", energy.efficiency().get::<percent>()), "6");
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EnergyUse {
    /// Power at the wire.
    pub wire_power: Power,
    /// Isothermal power of the air at the injection points.
    pub ideal_power: Power,
    /// Power of the lifted water.
    pub useful_power: Power,
    /// Water lifted.
    pub water_flow: VolumeRate,
}

impl EnergyUse {
    /// Checks what an efficiency is computed from.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`WIRE_POWER`].
    pub fn check(&self) -> Result<(), Error> {
        WIRE_POWER.check(Input::WirePower, self.wire_power.get::<watt>())?;
        Ok(())
    }

    /// Energy of a day.
    #[must_use]
    pub fn per_day(&self) -> Energy {
        self.wire_power * Time::new::<day>(1.0)
    }

    /// Energy of a year of 365 days.
    #[must_use]
    pub fn per_year(&self) -> Energy {
        self.wire_power * Time::new::<day>(365.0)
    }

    /// Energy for 1000 m³ of water; none when no water flows.
    #[must_use]
    pub fn per_1000_m3(&self) -> Option<Energy> {
        let volume = Volume::new::<cubic_meter>(1000.0);
        (self.water_flow > base(0.0)).then(|| self.wire_power * (volume / self.water_flow))
    }

    /// Useful power over wire power.
    #[must_use]
    pub fn efficiency(&self) -> Ratio {
        self.useful_power / self.wire_power
    }

    /// Ideal power of the air over wire power: what line, orifices, blower and motor leave.
    #[must_use]
    pub fn air_side_efficiency(&self) -> Ratio {
        self.ideal_power / self.wire_power
    }

    /// Cost of a year in the tariff's currency.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`PRICE`].
    ///
    /// # Examples
    /// ```
    /// use risewater::supply::{EnergyUse, Tariff};
    /// use risewater::units::*;
    ///
    /// let power = Power::new::<watt>;
    /// let energy = EnergyUse {
    ///     wire_power: power(1000.0),
    ///     ideal_power: power(300.0),
    ///     useful_power: power(60.0),
    ///     water_flow: VolumeRate::new::<cubic_meter_per_hour>(100.0),
    /// };
    /// let tariff = Tariff { price_per_kilowatt_hour: 0.2, currency: "EUR".to_owned() };
    /// assert_eq!(format!("{:.2}", energy.yearly_cost(&tariff)?), "1752.00"); // 8760 kWh × 0.2
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn yearly_cost(&self, tariff: &Tariff) -> Result<f64, Error> {
        let price = PRICE.check(Input::Price, tariff.price_per_kilowatt_hour)?;
        Ok(self.per_year().get::<kilowatt_hour>() * price)
    }
}

/// Power that lifting water takes at 100 % efficiency, ρ g Q H; none for water that runs down.
#[must_use]
pub fn useful_power(density: MassDensity, water_flow: VolumeRate, lift: Length) -> Power {
    let power = density * STANDARD_GRAVITY * water_flow * lift;
    if power > base(0.0) { power } else { base(0.0) }
}
