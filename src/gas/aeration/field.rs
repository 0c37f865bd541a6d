//! From the standard's oxygen transfer rate to a site.

use super::standard::{at_20_c, theta_power};
use super::{THETA, TRANSFER_RATE};
use crate::error::{Error, Input, range};
use crate::gas::{Conditions, DISSOLVED, Gas, saturation};
use crate::units::{
    AbsolutePressure, MassConcentration, MassRate, Ratio, ThermodynamicTemperature, base,
    kilogram_per_hour, milligram_per_liter, ratio,
};

range!(ALPHA, 0.05 to 2, "Factors α of [`Field`].");
range!(BETA, 0.5 to 1.2, "Factors β of [`Field`].");

/// Where an aerator works.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Field {
    /// Temperature of the water.
    pub temperature: ThermodynamicTemperature,
    /// The local barometer.
    pub barometer: AbsolutePressure,
    /// Oxygen in the water.
    pub oxygen: MassConcentration,
    /// α: kLa in this water over that in clean water. 1 where nothing is known, and no one's figure.
    pub alpha: Ratio,
    /// β: saturation in this water over that in clean water. Salt lowers it: see
    /// [`Field::with_salinity`].
    pub beta: Ratio,
    /// θ.
    pub theta: Ratio,
}

impl Field {
    /// Clean fresh water: α = β = 1, θ = [`THETA`].
    #[must_use]
    pub const fn clean(
        temperature: ThermodynamicTemperature,
        barometer: AbsolutePressure,
        oxygen: MassConcentration,
    ) -> Self {
        Self {
            temperature,
            barometer,
            oxygen,
            alpha: base(1.0),
            beta: base(1.0),
            theta: THETA,
        }
    }

    /// With another α.
    #[must_use]
    pub const fn with_alpha(mut self, alpha: Ratio) -> Self {
        self.alpha = alpha;
        self
    }

    /// With another β.
    #[must_use]
    pub const fn with_beta(mut self, beta: Ratio) -> Self {
        self.beta = beta;
        self
    }

    /// With the β of salt alone: saturation at a salinity over that of fresh water.
    ///
    /// # Errors
    /// As [`saturation`].
    pub fn with_salinity(self, salinity: Ratio) -> Result<Self, Error> {
        let fresh = Conditions::fresh(self.temperature, self.barometer);
        let salt = saturation(Gas::Oxygen, &fresh.with_salinity(salinity))?;
        Ok(self.with_beta(salt / saturation(Gas::Oxygen, &fresh)?))
    }
}

/// Oxygen that an aerator brings at a site, OTR; below zero where the water holds more oxygen than air
/// keeps in it.
///
/// ```text
/// OTR = α SOTR θ^(T−20) (β C_s,T,p − C)/C_s,20
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | C_s,T,p | [`saturation`] of fresh water at the site's temperature and barometer |
/// | C_s,20 | the same at 20 °C and one atmosphere |
/// | C | oxygen in the water |
///
/// Saturations are those at the surface, so the gain of bubbles under water over it is left out at
/// the site while SOTR has it: the result is a little low near saturation.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TRANSFER_RATE`], [`ALPHA`], [`BETA`],
/// [`AERATION_THETA`](super::AERATION_THETA) or [`DISSOLVED`],
/// and as [`saturation`].
///
/// # Examples
/// ```
/// use risewater::gas::aeration::{Field, field_transfer_rate};
/// use risewater::units::*;
///
/// // 28 °C, sea level, 5 mg/L and α 0.9: computed apart, 0.03358 kg/h
/// let field = Field::clean(
///     ThermodynamicTemperature::new::<degree_celsius>(28.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
///     MassConcentration::new::<milligram_per_liter>(5.0),
/// )
/// .with_alpha(Ratio::new::<ratio>(0.9));
/// let rate = field_transfer_rate(MassRate::new::<kilogram_per_hour>(0.09923), &field)?;
/// assert_eq!(format!("{:.4}", rate.get::<kilogram_per_hour>()), "0.0336");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub fn field_transfer_rate(standard_rate: MassRate, field: &Field) -> Result<MassRate, Error> {
    TRANSFER_RATE.check(
        Input::TransferRate,
        standard_rate.get::<kilogram_per_hour>(),
    )?;
    let alpha = ALPHA.check(Input::AerationAlpha, field.alpha.get::<ratio>())?;
    let beta = BETA.check(Input::AerationBeta, field.beta.get::<ratio>())?;
    DISSOLVED.check(Input::Oxygen, field.oxygen.get::<milligram_per_liter>())?;
    let conditions = Conditions::fresh(field.temperature, field.barometer);
    let there = saturation(Gas::Oxygen, &conditions)?;
    let driving = (there * beta - field.oxygen) / at_20_c(base(0.0))?;
    // OTR = α SOTR θ^(T−20) (β C_s,T,p − C)/C_s,20
    Ok(alpha * standard_rate * theta_power(field.theta, field.temperature)? * driving)
}
