//! Oxygen for energy and for air.

use super::TRANSFER_RATE;
use crate::air::AirFlow;
use crate::error::{Error, Input, range};
use crate::units::{MassPerEnergy, MassRate, Power, Ratio, base, kilogram_per_hour, watt};

/// Share of oxygen in dry air by mass, 0.2315.
///
/// As [ASCE/EWRI 2](crate::references::ASCE_EWRI_2) has it, from memory; the mole fractions of
/// [`Gas::fraction_of_air`](crate::gas::Gas::fraction_of_air) give 0.2314.
const OXYGEN_BY_MASS_OF_AIR: Ratio = base(0.2315);

range!(POWER, 1e-3 to 1e9 "W", "Powers of aerators.");

/// A power and where it was measured; displayed without the power.
#[derive(Debug, Clone, Copy, PartialEq, strum::Display, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
pub enum AeratorPower {
    /// Electrical, taken from the mains.
    Wire(Power),
    /// Mechanical, at the machine's shaft.
    Shaft(Power),
    /// Given to the air alone.
    Air(Power),
}

impl AeratorPower {
    /// The power.
    #[must_use]
    pub const fn power(self) -> Power {
        let (Self::Wire(power) | Self::Shaft(power) | Self::Air(power)) = self;
        power
    }
}

/// Standard aeration efficiency, SAE, with the power that it counts.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct AerationEfficiency {
    /// Oxygen for energy.
    pub value: MassPerEnergy,
    /// The power behind it.
    pub power: AeratorPower,
}

/// Standard aeration efficiency: SOTR for a power.
///
/// ```text
/// SAE = SOTR/P
/// ```
///
/// A figure without its kind of power cannot be compared: wire power is often twice the air's.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TRANSFER_RATE`] or [`POWER`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::aeration::{AeratorPower, aeration_efficiency};
/// use risewater::units::*;
///
/// // 0.09923 kg/h for 0.1 kW
/// let efficiency = aeration_efficiency(
///     MassRate::new::<kilogram_per_hour>(0.09923),
///     AeratorPower::Wire(Power::new::<watt>(100.0)),
/// )?;
/// assert_eq!(format!("{:.4}", efficiency.value.get::<kilogram_per_kilowatt_hour>()), "0.9923");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub fn aeration_efficiency(
    standard_rate: MassRate,
    power: AeratorPower,
) -> Result<AerationEfficiency, Error> {
    TRANSFER_RATE.check(
        Input::TransferRate,
        standard_rate.get::<kilogram_per_hour>(),
    )?;
    POWER.check(Input::AeratorPower, power.power().get::<watt>())?;
    Ok(AerationEfficiency {
        value: standard_rate / power.power(),
        power,
    })
}

/// Standard oxygen transfer efficiency, SOTE: the share of the air's oxygen that SOTR is.
///
/// ```text
/// SOTE = SOTR/(0.2315 ṁ)                                          ṁ: mass flow of dry air
/// ```
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TRANSFER_RATE`]; [`Error::Inconsistent`] when the air brings no more
/// oxygen than that.
///
/// # Examples
/// ```
/// use risewater::AirFlow;
/// use risewater::gas::aeration::standard_transfer_efficiency;
/// use risewater::units::*;
///
/// // 0.09923/(0.2315 × 6.0205)
/// let share = standard_transfer_efficiency(
///     MassRate::new::<kilogram_per_hour>(0.09923),
///     AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(6.0205))?,
/// )?;
/// assert_eq!(format!("{:.4}", share.get::<ratio>()), "0.0712");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub fn standard_transfer_efficiency(standard_rate: MassRate, air: AirFlow) -> Result<Ratio, Error> {
    let rate = standard_rate.get::<kilogram_per_hour>();
    TRANSFER_RATE.check(Input::TransferRate, rate)?;
    let oxygen = (air.dry_mass_rate() * OXYGEN_BY_MASS_OF_AIR).get::<kilogram_per_hour>();
    if oxygen > rate {
        Ok(base(rate / oxygen))
    } else {
        Err(Error::Inconsistent {
            larger: Input::AirFlow,
            larger_value: oxygen,
            smaller: Input::TransferRate,
            smaller_value: rate,
            unit: "kg/h of oxygen",
        })
    }
}
