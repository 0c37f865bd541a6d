//! Oxygen in water at equilibrium with air.

use super::{PASCAL_PER_ATM, PRESSURE, checked};
use crate::error::{Error, Input};
use crate::units::{
    AbsolutePressure, MassConcentration, Ratio, ThermodynamicTemperature, base, kilopascal,
    milligram_per_liter,
};

/// Oxygen in water at equilibrium with moist air at one atmosphere.
///
/// ```text
/// ln C = −139.34411 + 1.575701e5/T − 6.642308e7/T² + 1.243800e10/T³ − 8.621949e11/T⁴
///        − S (1.7674e-2 − 10.754/T + 2140.7/T²)
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | C | oxygen | mg/L |
/// | T | temperature | K |
/// | S | practical salinity | 1 |
///
/// # Validity
/// 0 to 40 °C, practical salinity 0 to 40. Held against Garcia & Gordon at 27 points from 0 to 40 °C and
/// 0 to 35: at most 2.3e-4 apart.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE) or [`SALINITY`](super::SALINITY),
/// [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::benson_krause_1984;
/// use risewater::units::*;
///
/// // APHA 4500-O at 25 °C, fresh water, from memory: 8.263 mg/L
/// let oxygen = benson_krause_1984(
///     ThermodynamicTemperature::new::<degree_celsius>(25.0),
///     Ratio::new::<per_mille>(0.0),
/// )?;
/// assert_eq!(format!("{:.3}", oxygen.get::<milligram_per_liter>()), "8.263");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Benson & Krause (1984)](crate::references::BENSON_KRAUSE_1984); held against
/// [Garcia & Gordon (1992)](crate::references::GARCIA_GORDON_1992).
pub fn benson_krause_1984(
    temperature: ThermodynamicTemperature,
    salinity: Ratio,
) -> Result<MassConcentration, Error> {
    let (t_c, s) = checked(temperature, salinity)?;
    Ok(MassConcentration::new::<milligram_per_liter>(mg_per_l(
        t_c, s,
    )))
}

/// Oxygen in water at an absolute pressure of moist air, over that at one atmosphere.
///
/// ```text
/// C(p)/C(1) = p (1 − P_w/p) (1 − θ p) / ((1 − P_w) (1 − θ))                  p, P_w in atm
/// ln P_w = 11.8571 − 3840.70/T − 216961/T²
/// θ = 0.000975 − 1.426e-5 t + 6.436e-8 t²                                    t in °C
/// ```
///
/// The pressure is the local one (station pressure), never reduced to sea level. The vapour pressure is
/// that of fresh water for any salinity, as the source has it; some open transcriptions lower it by the
/// salt, which raises the factor at half an atmosphere by 2e-3 at most (40 °C, S 40).
///
/// # Validity
/// The source's tables are for barometric pressures; bubbles under water carry it on to higher ones,
/// where θ p, the departure from Henry's law, is 0.7 % at ten atmospheres and 20 °C.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`TEMPERATURE`](super::TEMPERATURE) or [`PRESSURE`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::gas::oxygen_pressure_factor;
/// use risewater::units::*;
///
/// // Computed apart from the same equations at 20 °C and 0.8 atm: 0.79539
/// let factor = oxygen_pressure_factor(
///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     AbsolutePressure::new::<kilopascal>(81.06),
/// )?;
/// assert_eq!(format!("{:.5}", factor.get::<ratio>()), "0.79539");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [USGS (2011)](crate::references::USGS_2011_03); [APHA 4500-O](crate::references::APHA_4500_O).
pub fn oxygen_pressure_factor(
    temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
) -> Result<Ratio, Error> {
    let (t_c, _) = checked(temperature, base(0.0))?;
    PRESSURE.check(Input::GasPressure, pressure.get::<kilopascal>())?;
    let p = pressure.pascal() / PASCAL_PER_ATM;
    let (p_w, theta) = (vapour_atm(t_c), theta_per_atm(t_c));
    // C(p)/C(1) = p (1 − P_w/p) (1 − θ p) / ((1 − P_w) (1 − θ))
    Ok(base(
        p * (1.0 - p_w / p) * (1.0 - theta * p) / ((1.0 - p_w) * (1.0 - theta)),
    ))
}

/// [`benson_krause_1984`] in mg/L, from °C and practical salinity.
pub(super) fn mg_per_l(t_c: f64, s: f64) -> f64 {
    let t = t_c + 273.15;
    // ln C = −139.34411 + 1.575701e5/T − 6.642308e7/T² + 1.243800e10/T³ − 8.621949e11/T⁴
    let fresh = -139.344_11 + 1.575_701e5 / t - 6.642_308e7 / t.powi(2) + 1.243_800e10 / t.powi(3)
        - 8.621_949e11 / t.powi(4);
    //        − S (1.7674e-2 − 10.754/T + 2140.7/T²)
    (fresh - s * (1.767_4e-2 - 10.754 / t + 2140.7 / t.powi(2))).exp()
}

/// Vapour pressure of the pressure factor, atm.
pub(super) fn vapour_atm(t_c: f64) -> f64 {
    let t = t_c + 273.15;
    // ln P_w = 11.8571 − 3840.70/T − 216961/T²
    (11.857_1 - 3840.70 / t - 216_961.0 / t.powi(2)).exp()
}

/// Departure of oxygen from Henry's law in the pressure factor, 1/atm.
pub(super) fn theta_per_atm(t_c: f64) -> f64 {
    // θ = 0.000975 − 1.426e-5 t + 6.436e-8 t²
    0.000_975 - 1.426e-5 * t_c + 6.436e-8 * t_c * t_c
}
