//! Vapour pressure over water, as the sources of solubility take it.

use super::{PASCAL_PER_ATM, checked};
use crate::error::Error;
use crate::units::{AbsolutePressure, Ratio, ThermodynamicTemperature, base};

/// Vapour pressure over fresh or salt water.
///
/// ```text
/// ln p_w = 24.4543 − 67.4509 (100/T) − 4.8489 ln(T/100) − 0.000544 S         p_w in atm
/// ```
///
/// For gas equilibria with nitrogen, argon and carbon dioxide, whose sources go with it. Elsewhere use
/// [`Water`](crate::Water), which follows IAPWS-95; at 20 °C the two are 1.3e-3 apart.
///
/// # Validity
/// 0 to 40 °C, practical salinity 0 to 40.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE) or [`SALINITY`](super::SALINITY),
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::weiss_price_1980;
/// use risewater::units::*;
///
/// // IAPWS-95 at 20 °C in fresh water: 2339.3 Pa
/// let vapour = weiss_price_1980(
///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     Ratio::new::<per_mille>(0.0),
/// )?;
/// assert!((vapour.get::<pascal>() / 2339.3 - 1.0).abs() < 2e-3);
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Weiss & Price (1980)](crate::references::WEISS_PRICE_1980), eq. (10).
pub fn weiss_price_1980(
    temperature: ThermodynamicTemperature,
    salinity: Ratio,
) -> Result<AbsolutePressure, Error> {
    let (t_c, s) = checked(temperature, salinity)?;
    Ok(AbsolutePressure(base(PASCAL_PER_ATM * atm(t_c, s))))
}

/// The same in atm, from °C and practical salinity.
pub(super) fn atm(t_c: f64, s: f64) -> f64 {
    let h = (t_c + 273.15) / 100.0;
    // ln p_w = 24.4543 − 67.4509 (100/T) − 4.8489 ln(T/100) − 0.000544 S
    (24.454_3 - 67.450_9 / h - 4.848_9 * h.ln() - 0.000_544 * s).exp()
}
