//! Un-ionised ammonia, the poisonous share of total ammonia nitrogen.

use super::TEMPERATURE;
use crate::error::{Error, Input, range};
use crate::units::{
    MassConcentration, Ratio, ThermodynamicTemperature, base, degree_celsius, kelvin,
    milligram_per_liter, per_mille, ratio,
};

range!(PH, 4 to 12, "pH of [`AmmoniaConditions`].");
range!(AMMONIA_SALINITY, 0 to 0.5 "g/kg", "Salinities of [`AmmoniaConditions`]: fresh water.");
range!(AMMONIA_LIMIT, 0 to 100 "mg/L", "Limits of [`total_ammonia_limit`].");

/// Water that holds ammonia.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AmmoniaConditions {
    /// Temperature.
    pub temperature: ThermodynamicTemperature,
    /// Salinity by mass.
    pub salinity: Ratio,
    /// pH.
    pub ph: Ratio,
}

/// Share of total ammonia that is un-ionised, NH₃, in fresh water.
///
/// ```text
/// f = 1/(1 + 10^(pK − pH))         pK = 0.09018 + 2729.92/T                  T in K
/// ```
///
/// Salt water is refused: pK is higher there by some 0.1 to 0.15 at practical salinity 35 (from memory),
/// so that this formula would overstate the share, and no check value for it is at hand.
///
/// # Validity
/// Fresh water at 0 to 50 °C by its source, here 0 to 40 °C. The share changes by a factor of 10 a unit of
/// pH: an error of 0.1 in pH is one of 26 % in it.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`], [`AMMONIA_SALINITY`] or [`PH`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::{AmmoniaConditions, ammonia_fraction};
/// use risewater::units::*;
///
/// // Computed apart from the same equation at 20 °C and pH 8: 0.03807
/// let water = AmmoniaConditions {
///     temperature: ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     salinity: Ratio::new::<per_mille>(0.0),
///     ph: Ratio::new::<ratio>(8.0),
/// };
/// assert_eq!(format!("{:.5}", ammonia_fraction(&water)?.get::<ratio>()), "0.03807");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Emerson et al. (1975)](crate::references::EMERSON_1975). Some copies print 2727.92, which gives pK 9.240
/// at 25 °C and not the accepted 9.245.
pub fn ammonia_fraction(water: &AmmoniaConditions) -> Result<Ratio, Error> {
    TEMPERATURE.check(
        Input::WaterTemperature,
        water.temperature.get::<degree_celsius>(),
    )?;
    AMMONIA_SALINITY.check(Input::Salinity, water.salinity.get::<per_mille>())?;
    let ph = PH.check(Input::Ph, water.ph.get::<ratio>())?;
    // f = 1/(1 + 10^(pK − pH)),  pK = 0.09018 + 2729.92/T
    let pk = 0.090_18 + 2729.92 / water.temperature.get::<kelvin>();
    Ok(base(1.0 / (1.0 + 10.0_f64.powf(pk - ph))))
}

/// Total ammonia nitrogen at which un-ionised ammonia nitrogen is at its limit.
///
/// ```text
/// TAN = limit/f
/// ```
///
/// # Errors
/// As [`ammonia_fraction`], and [`Error::OutOfRange`] outside [`AMMONIA_LIMIT`].
///
/// # Examples
/// ```
/// use risewater::gas::{AmmoniaConditions, total_ammonia_limit};
/// use risewater::units::*;
///
/// // 25 °C, pH 7.5: 0.025/0.017616
/// let water = AmmoniaConditions {
///     temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
///     salinity: Ratio::new::<per_mille>(0.0),
///     ph: Ratio::new::<ratio>(7.5),
/// };
/// let limit = MassConcentration::new::<milligram_per_liter>(0.025);
/// let total = total_ammonia_limit(limit, &water)?;
/// assert_eq!(format!("{:.3}", total.get::<milligram_per_liter>()), "1.419");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// As [`ammonia_fraction`].
pub fn total_ammonia_limit(
    limit_as_nitrogen: MassConcentration,
    water: &AmmoniaConditions,
) -> Result<MassConcentration, Error> {
    AMMONIA_LIMIT.check(
        Input::AmmoniaLimit,
        limit_as_nitrogen.get::<milligram_per_liter>(),
    )?;
    Ok((limit_as_nitrogen / ammonia_fraction(water)?).into())
}
