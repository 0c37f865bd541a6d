//! Air flow as a mass of dry air, whatever the state its volume was counted at.

use std::fmt;

use crate::air::{AirState, DRY_AIR_GAS_CONSTANT};
use crate::error::{Error, Input, range};
use crate::units::{
    MassRate, UnitSystem, VolumeRate, base, cubic_meter_per_second, kelvin, kilogram_per_second,
};

range!(AIR_FLOW, 0 to 1000 "kg/s", "Air flows of [`AirFlow`], as mass of dry air.");

/// A flow of air, held as its mass rate of dry air.
///
/// The mass is the same at the intake, in the pipe and in the riser; the volume is not. So a flow
/// is built from a mass, or from a volume together with the [`AirState`] at which it was counted:
///
/// ```
/// use risewater::air::{AirFlow, AirState};
/// use risewater::units::{VolumeRate, cubic_meter_per_hour};
///
/// let reading = VolumeRate::new::<cubic_meter_per_hour>(10.0);
/// let air = AirFlow::at(reading, &AirState::NORMAL_DIN_1343)?;
///
/// // DIN 1343 to ISO 1217: (101.325/273.15) (293.15/100) = 1.08744
/// let free = air.volume_rate_at(&AirState::REFERENCE_ISO_1217)?;
/// assert_eq!(format!("{:.4}", free.get::<cubic_meter_per_hour>()), "10.8744");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// A bare volume is not a flow of air:
///
/// ```compile_fail
/// use risewater::air::{AirFlow, AirState};
/// use risewater::units::{VolumeRate, cubic_meter_per_hour};
///
/// let reading = VolumeRate::new::<cubic_meter_per_hour>(10.0);
/// let air = AirFlow::from(reading);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AirFlow {
    dry_mass_rate: MassRate,
}

/// As its volume at [`AirState::DRY_20_C`]: `"13.84 L/min of air (dry, 20 degC, 101.325 kPa)"`.
/// Volume flow of a mass flow of dry air, at 20 °C and 101.325 kPa, m³/s.
pub(crate) fn at_20_c(kg_per_s: f64) -> f64 {
    let state = AirState::DRY_20_C;
    // Q = ṁ R T / p
    kg_per_s * DRY_AIR_GAS_CONSTANT * state.temperature.get::<kelvin>() / state.pressure.pascal()
}

impl fmt::Display for AirFlow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let flow = UnitSystem::Metric.air(self.volume_rate_at_20_c());
        f.pad(&format!("{flow} of air (dry, 20 degC, 101.325 kPa)"))
    }
}

impl AirFlow {
    /// A flow from its mass rate of dry air.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`AIR_FLOW`], [`Error::NotFinite`] for NaN and infinities.
    ///
    /// # Examples
    /// ```
    /// use risewater::air::AirFlow;
    /// use risewater::units::{MassRate, kilogram_per_hour, liter_per_minute};
    ///
    /// // 1 kg/h over 287.055 × 293.15 / 101325 = 0.83050 m³/kg is 13.842 L/min
    /// let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_hour>(1.0))?;
    /// let shown = air.volume_rate_at_20_c().get::<liter_per_minute>();
    /// assert_eq!(format!("{shown:.3}"), "13.842");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn from_dry_mass(dry_mass_rate: MassRate) -> Result<Self, Error> {
        AIR_FLOW.check(Input::AirFlow, dry_mass_rate.get::<kilogram_per_second>())?;
        Ok(Self { dry_mass_rate })
    }

    /// A flow from its volume rate at a state.
    ///
    /// ```text
    /// ṁ = (p − φ p_s(T)) Q / (R T)
    /// ```
    ///
    /// # Errors
    /// Those of the state (see [`AirState`]): [`Error::OutOfRange`] outside
    /// [`AIR_TEMPERATURE`](crate::air::AIR_TEMPERATURE), [`AIR_PRESSURE`](crate::air::AIR_PRESSURE)
    /// or [`HUMIDITY`](crate::air::HUMIDITY), [`Error::Inconsistent`] when the vapour alone would
    /// reach the pressure; of the flow: [`Error::OutOfRange`] outside [`AIR_FLOW`].
    ///
    /// # Examples
    /// See [`AirFlow`].
    pub fn at(volume_rate: VolumeRate, state: &AirState) -> Result<Self, Error> {
        let q = volume_rate.get::<cubic_meter_per_second>();
        Self::from_dry_mass(base(dry_density(state)? * q))
    }

    /// Mass rate of dry air.
    #[must_use]
    pub fn dry_mass_rate(self) -> MassRate {
        self.dry_mass_rate
    }

    /// Volume rate of this air at a state, with the vapour that the state has.
    ///
    /// # Errors
    /// Those of the state, as for [`AirFlow::at`].
    ///
    /// # Examples
    /// See [`AirFlow`].
    pub fn volume_rate_at(self, state: &AirState) -> Result<VolumeRate, Error> {
        Ok(base(self.kg_per_s() / dry_density(state)?))
    }

    /// Volume rate at [`AirState::DRY_20_C`]: 20 °C, 101.325 kPa, dry.
    ///
    /// # Examples
    /// See [`AirFlow::from_dry_mass`].
    #[must_use]
    pub fn volume_rate_at_20_c(self) -> VolumeRate {
        base(at_20_c(self.kg_per_s()))
    }

    /// Mass rate of dry air, kg/s.
    pub(crate) fn kg_per_s(self) -> f64 {
        self.dry_mass_rate.get::<kilogram_per_second>()
    }

    /// From a mass rate of dry air in kg/s, unchecked: for the solvers.
    pub(crate) const fn from_kg_per_s(dry_kg_per_s: f64) -> Self {
        Self {
            dry_mass_rate: base(dry_kg_per_s),
        }
    }
}

/// Mass of dry air in a cubic metre, kg/m³.
fn dry_density(state: &AirState) -> Result<f64, Error> {
    let state = state.checked()?;
    // (p − φ p_s) / (R T)
    Ok((state.p_pa - state.vapour_pa) / (DRY_AIR_GAS_CONSTANT * state.t_k))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_si_round_trip() {
        assert_eq!(AirFlow::from_kg_per_s(0.25).kg_per_s(), 0.25);
    }

    #[test]
    fn in_words() {
        // 1 kg/h over 287.05287 × 293.15 / 101325 = 0.830492 m³/kg is 13.84 L/min
        let air = AirFlow::from_kg_per_s(1.0 / 3600.0);
        assert_eq!(
            air.to_string(),
            "13.84 L/min of air (dry, 20 degC, 101.325 kPa)"
        );
    }
}
