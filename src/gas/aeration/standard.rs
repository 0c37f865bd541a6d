//! From kLa and saturation to the standard's oxygen transfer rate.

use crate::error::{Error, Input, range};
use crate::gas::{Conditions, DISSOLVED, Gas, saturation};
use crate::units::{
    AbsolutePressure, Frequency, MassConcentration, MassRate, Ratio, ThermodynamicTemperature,
    Volume, base, cubic_meter, degree_celsius, milligram_per_liter, per_hour, ratio,
};

/// Factor by which kLa grows for each kelvin, 1.024.
///
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub const THETA: Ratio = base(1.024);
range!(AERATION_THETA, 1 to 1.1, "Temperature factors θ.");
range!(TRANSFER_COEFFICIENT, 0 to 10_000 "1/h", "Transfer coefficients kLa.");
range!(TRANSFER_RATE, 0 to 1e6 "kg/h", "Oxygen transfer rates.");
range!(AERATED_VOLUME, 1e-6 to 1e7 "m3", "Volumes of aerated water.");
/// Transfer coefficient at 20 °C.
///
/// ```text
/// k₂₀ = k θ^(20−T)                                                            T in °C
/// ```
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TRANSFER_COEFFICIENT`], [`TEMPERATURE`](crate::gas::TEMPERATURE) or
/// [`AERATION_THETA`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::aeration::{THETA, coefficient_at_20_c};
/// use risewater::units::*;
///
/// // 6/1.024⁴
/// let k = coefficient_at_20_c(
///     Frequency::new::<per_hour>(6.0),
///     ThermodynamicTemperature::new::<degree_celsius>(24.0),
///     THETA,
/// )?;
/// assert_eq!(format!("{:.3}", k.get::<per_hour>()), "5.457");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub fn coefficient_at_20_c(
    coefficient: Frequency,
    temperature: ThermodynamicTemperature,
    theta: Ratio,
) -> Result<Frequency, Error> {
    TRANSFER_COEFFICIENT.check(Input::TransferCoefficient, coefficient.get::<per_hour>())?;
    Ok(coefficient / theta_power(theta, temperature)?)
}

/// Saturation that a test ends at, at 20 °C and one atmosphere.
///
/// ```text
/// C*₂₀ = C* C_s(20 °C, 1 atm)/C_s(T, p)
/// ```
///
/// with C_s of the same salinity: a test in salt water stays one in salt water.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`DISSOLVED`], and as [`saturation`].
///
/// # Examples
/// ```
/// use risewater::gas::aeration::saturation_at_20_c;
/// use risewater::gas::Conditions;
/// use risewater::units::*;
///
/// // 8.5 mg/L at 25 °C: 8.5 × 9.0924/8.2635
/// let conditions = Conditions::fresh(
///     ThermodynamicTemperature::new::<degree_celsius>(25.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// );
/// let found = MassConcentration::new::<milligram_per_liter>(8.5);
/// let saturation = saturation_at_20_c(found, &conditions)?;
/// assert_eq!(format!("{:.3}", saturation.get::<milligram_per_liter>()), "9.353");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub fn saturation_at_20_c(
    found: MassConcentration,
    conditions: &Conditions,
) -> Result<MassConcentration, Error> {
    DISSOLVED.check(Input::Oxygen, found.get::<milligram_per_liter>())?;
    let there = saturation(Gas::Oxygen, conditions)?;
    Ok((found * (at_20_c(conditions.salinity)? / there)).into())
}

/// Standard oxygen transfer rate, SOTR: at 20 °C, one atmosphere and no oxygen in the water.
///
/// ```text
/// SOTR = V k₂₀ C*₂₀
/// ```
///
/// # Errors
/// [`Error::OutOfRange`] outside [`AERATED_VOLUME`], [`TRANSFER_COEFFICIENT`] or [`DISSOLVED`],
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::aeration::standard_transfer_rate;
/// use risewater::units::*;
///
/// // 2 m³ × 5.457/h × 9.092 mg/L
/// let rate = standard_transfer_rate(
///     Volume::new::<cubic_meter>(2.0),
///     Frequency::new::<per_hour>(5.457),
///     MassConcentration::new::<milligram_per_liter>(9.092),
/// )?;
/// assert_eq!(format!("{:.5}", rate.get::<kilogram_per_hour>()), "0.09923");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ASCE/EWRI 2](crate::references::ASCE_EWRI_2), from memory.
pub fn standard_transfer_rate(
    volume: Volume,
    coefficient_at_20_c: Frequency,
    saturation_at_20_c: MassConcentration,
) -> Result<MassRate, Error> {
    AERATED_VOLUME.check(Input::AeratedVolume, volume.get::<cubic_meter>())?;
    TRANSFER_COEFFICIENT.check(
        Input::TransferCoefficient,
        coefficient_at_20_c.get::<per_hour>(),
    )?;
    DISSOLVED.check(
        Input::Oxygen,
        saturation_at_20_c.get::<milligram_per_liter>(),
    )?;
    Ok(volume * coefficient_at_20_c * saturation_at_20_c)
}

/// θ^(T−20).
pub(super) fn theta_power(
    theta: Ratio,
    temperature: ThermodynamicTemperature,
) -> Result<Ratio, Error> {
    let theta = AERATION_THETA.check(Input::AerationTheta, theta.get::<ratio>())?;
    let t_c = temperature.get::<degree_celsius>();
    crate::gas::TEMPERATURE.check(Input::WaterTemperature, t_c)?;
    Ok(base(theta.powf(t_c - 20.0)))
}

/// Saturation at 20 °C and one atmosphere.
pub(super) fn at_20_c(salinity: Ratio) -> Result<MassConcentration, Error> {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    let standard = Conditions::fresh(temperature, AbsolutePressure::STANDARD_ATMOSPHERE);
    saturation(Gas::Oxygen, &standard.with_salinity(salinity))
}
