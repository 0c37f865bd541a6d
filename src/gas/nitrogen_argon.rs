//! Nitrogen and argon in water at equilibrium with air.

use super::checked;
use crate::error::Error;
use crate::units::{Molality, Ratio, ThermodynamicTemperature, micromole_per_kilogram};

/// Nitrogen in water at equilibrium with moist air at one atmosphere, for a mass of water and salt.
///
/// ```text
/// ln C = A₀ + A₁ T_s + A₂ T_s² + A₃ T_s³ + S (B₀ + B₁ T_s + B₂ T_s²)
/// T_s = ln((298.15 − t)/(273.15 + t))
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | C | nitrogen | µmol/kg |
/// | t | temperature | °C |
/// | S | practical salinity | 1 |
///
/// # Validity
/// Used at 0 to 40 °C and practical salinity 0 to 40; the source measured at 1 to 30 °C (from memory),
/// and checked values end at 30 °C and 35.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE) or [`SALINITY`](super::SALINITY),
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::hamme_emerson_2004_nitrogen;
/// use risewater::units::*;
///
/// // Check value of the source at 10 °C and practical salinity 35: 500.885 µmol/kg
/// let nitrogen = hamme_emerson_2004_nitrogen(
///     ThermodynamicTemperature::new::<degree_celsius>(10.0),
///     Ratio::new::<per_mille>(35.165_04),
/// )?;
/// assert_eq!(format!("{:.3}", nitrogen.get::<micromole_per_kilogram>()), "500.885");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Hamme & Emerson (2004)](crate::references::HAMME_EMERSON_2004).
pub fn hamme_emerson_2004_nitrogen(
    temperature: ThermodynamicTemperature,
    salinity: Ratio,
) -> Result<Molality, Error> {
    let (t_c, s) = checked(temperature, salinity)?;
    Ok(Molality::new::<micromole_per_kilogram>(
        nitrogen_umol_per_kg(t_c, s),
    ))
}

/// Argon in water at equilibrium with moist air at one atmosphere, for a mass of water and salt.
///
/// The equation of [`hamme_emerson_2004_nitrogen`] with coefficients of argon.
///
/// # Validity
/// As [`hamme_emerson_2004_nitrogen`].
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE) or [`SALINITY`](super::SALINITY),
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::hamme_emerson_2004_argon;
/// use risewater::units::*;
///
/// // Check value of the source at 10 °C and practical salinity 35: 13.4622 µmol/kg
/// let argon = hamme_emerson_2004_argon(
///     ThermodynamicTemperature::new::<degree_celsius>(10.0),
///     Ratio::new::<per_mille>(35.165_04),
/// )?;
/// assert_eq!(format!("{:.4}", argon.get::<micromole_per_kilogram>()), "13.4622");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Hamme & Emerson (2004)](crate::references::HAMME_EMERSON_2004).
pub fn hamme_emerson_2004_argon(
    temperature: ThermodynamicTemperature,
    salinity: Ratio,
) -> Result<Molality, Error> {
    let (t_c, s) = checked(temperature, salinity)?;
    Ok(Molality::new::<micromole_per_kilogram>(argon_umol_per_kg(
        t_c, s,
    )))
}

/// [`hamme_emerson_2004_nitrogen`] in µmol/kg, from °C and practical salinity.
pub(super) fn nitrogen_umol_per_kg(t_c: f64, s: f64) -> f64 {
    const A: [f64; 4] = [6.429_31, 2.927_04, 4.325_31, 4.691_49];
    const B: [f64; 3] = [-7.441_29e-3, -8.025_66e-3, -1.467_75e-2];
    umol_per_kg(t_c, s, A, B)
}

/// [`hamme_emerson_2004_argon`] in µmol/kg, from °C and practical salinity.
pub(super) fn argon_umol_per_kg(t_c: f64, s: f64) -> f64 {
    const A: [f64; 4] = [2.791_50, 3.176_09, 4.131_16, 4.903_79];
    const B: [f64; 3] = [-6.962_33e-3, -7.666_70e-3, -1.168_88e-2];
    umol_per_kg(t_c, s, A, B)
}

fn umol_per_kg(t_c: f64, s: f64, a: [f64; 4], b: [f64; 3]) -> f64 {
    // T_s = ln((298.15 − t)/(273.15 + t))
    let t_s = ((298.15 - t_c) / (273.15 + t_c)).ln();
    // ln C = A₀ + A₁ T_s + A₂ T_s² + A₃ T_s³ + S (B₀ + B₁ T_s + B₂ T_s²)
    let fresh = a[0] + a[1] * t_s + a[2] * t_s.powi(2) + a[3] * t_s.powi(3);
    (fresh + s * (b[0] + b[1] * t_s + b[2] * t_s.powi(2))).exp()
}
