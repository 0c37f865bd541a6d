//! Carbon dioxide in water, the free gas.

use super::{PASCAL_PER_ATM, checked};
use crate::error::{Error, Input, range};
use crate::units::{
    Molality, MolarConcentration, Pressure, Ratio, ThermodynamicTemperature, kilopascal,
    mole_per_kilogram, mole_per_liter, pascal,
};

range!(PARTIAL_PRESSURE, 0 to 1100 "kPa", "Partial pressures of carbon dioxide.");

/// Free carbon dioxide for a mass of water and salt, at a partial pressure.
///
/// ```text
/// C = K₀ p
/// ln K₀ = −60.2409 + 93.4517 (100/T) + 23.3585 ln(T/100)
///         + S (0.023517 − 0.023656 (T/100) + 0.0047036 (T/100)²)             K₀ in mol/(kg atm)
/// ```
///
/// The source multiplies by the fugacity; the partial pressure that stands here for it is 0.3 % to
/// 0.5 % more at one atmosphere.
///
/// # Validity
/// 0 to 40 °C, practical salinity 0 to 40.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE), [`SALINITY`](super::SALINITY) or
/// [`PARTIAL_PRESSURE`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::weiss_1974_by_mass_of_water;
/// use risewater::units::*;
///
/// // Check value of Dickson et al. (2007) at 25 °C and practical salinity 35: ln K₀ = −3.5617
/// let k_0 = weiss_1974_by_mass_of_water(
///     ThermodynamicTemperature::new::<degree_celsius>(25.0),
///     Ratio::new::<per_mille>(35.165_04),
///     Pressure::new::<kilopascal>(101.325),
/// )?;
/// assert_eq!(format!("{:.4}", k_0.get::<mole_per_kilogram>().ln()), "-3.5617");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Weiss (1974)](crate::references::WEISS_1974), eq. (12) and table I.
pub fn weiss_1974_by_mass_of_water(
    temperature: ThermodynamicTemperature,
    salinity: Ratio,
    partial_pressure: Pressure,
) -> Result<Molality, Error> {
    let (t_c, s) = checked(temperature, salinity)?;
    let p_atm = partial_atm(partial_pressure)?;
    // ln K₀ = −60.2409 + 93.4517 (100/T) + 23.3585 ln(T/100)
    //         + S (0.023517 − 0.023656 (T/100) + 0.0047036 (T/100)²)
    let k_0 = exponential(
        t_c,
        s,
        [-60.240_9, 93.451_7, 23.358_5],
        [0.023_517, -0.023_656, 0.004_703_6],
    );
    Ok(Molality::new::<mole_per_kilogram>(k_0 * p_atm))
}

/// Free carbon dioxide for a volume of water, at a partial pressure.
///
/// ```text
/// C = K₀ p
/// ln K₀ = −58.0931 + 90.5069 (100/T) + 22.2940 ln(T/100)
///         + S (0.027766 − 0.025888 (T/100) + 0.0050578 (T/100)²)             K₀ in mol/(L atm)
/// ```
///
/// This is the form that [`Solubility`](super::Solubility) uses.
///
/// # Validity
/// As [`weiss_1974_by_mass_of_water`].
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE), [`SALINITY`](super::SALINITY) or
/// [`PARTIAL_PRESSURE`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::weiss_1974_by_volume_of_water;
/// use risewater::units::*;
///
/// // Computed apart from the same equation at 20 °C in fresh water: 0.039099 mol/L at one atmosphere
/// let k_0 = weiss_1974_by_volume_of_water(
///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     Ratio::new::<per_mille>(0.0),
///     Pressure::new::<kilopascal>(101.325),
/// )?;
/// assert_eq!(format!("{:.6}", k_0.get::<mole_per_liter>()), "0.039099");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Weiss (1974)](crate::references::WEISS_1974), eq. (12) and table I.
pub fn weiss_1974_by_volume_of_water(
    temperature: ThermodynamicTemperature,
    salinity: Ratio,
    partial_pressure: Pressure,
) -> Result<MolarConcentration, Error> {
    let (t_c, s) = checked(temperature, salinity)?;
    let p_atm = partial_atm(partial_pressure)?;
    Ok(MolarConcentration::new::<mole_per_liter>(
        mol_per_l_atm(t_c, s) * p_atm,
    ))
}

/// K₀ of [`weiss_1974_by_volume_of_water`] in mol/(L atm), from °C and practical salinity.
pub(super) fn mol_per_l_atm(t_c: f64, s: f64) -> f64 {
    // ln K₀ = −58.0931 + 90.5069 (100/T) + 22.2940 ln(T/100)
    //         + S (0.027766 − 0.025888 (T/100) + 0.0050578 (T/100)²)
    exponential(
        t_c,
        s,
        [-58.093_1, 90.506_9, 22.294_0],
        [0.027_766, -0.025_888, 0.005_057_8],
    )
}

fn exponential(t_c: f64, s: f64, a: [f64; 3], b: [f64; 3]) -> f64 {
    let h = (t_c + 273.15) / 100.0;
    // exp(A₁ + A₂ (100/T) + A₃ ln(T/100) + S (B₁ + B₂ (T/100) + B₃ (T/100)²))
    (a[0] + a[1] / h + a[2] * h.ln() + s * (b[0] + b[1] * h + b[2] * h * h)).exp()
}

fn partial_atm(partial_pressure: Pressure) -> Result<f64, Error> {
    PARTIAL_PRESSURE.check(Input::PartialPressure, partial_pressure.get::<kilopascal>())?;
    Ok(partial_pressure.get::<pascal>() / PASCAL_PER_ATM)
}
