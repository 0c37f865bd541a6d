//! The standard atmosphere: pressure at an altitude.

use crate::error::{Error, Input, range};
use crate::units::{AbsolutePressure, GRAVITY_M_PER_S2, Length, base, meter};

range!(ALTITUDE, -500 to 11_000 "m", "Altitudes of [`pressure_at_altitude`], above mean sea level.");

/// Pressure of the standard atmosphere at an altitude as a map gives it (geometric).
///
/// ```text
/// H = r z / (r + z)                                    r = 6 356 766 m
/// p = p_0 (1 − β H / T_0)^(g / (R β))                  exponent 5.25588
/// ```
///
/// | symbol | meaning | value |
/// |---|---|---|
/// | z, H | geometric and geopotential altitude | m |
/// | p_0, T_0 | pressure and temperature at sea level | 101 325 Pa, 288.15 K |
/// | β | fall of temperature with altitude | 0.0065 K/m |
/// | R | gas constant of the standard | 287.052 87 J/(kg K) |
///
/// The weather moves the real pressure by a few per cent about this.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`ALTITUDE`], [`Error::NotFinite`] for NaN and infinities.
///
/// # Examples
/// ```
/// use risewater::air::pressure_at_altitude;
/// use risewater::units::{Length, meter, pascal};
///
/// // US Standard Atmosphere 1976, table I, z = 1000 m, from memory: 89876.3 Pa
/// let p = pressure_at_altitude(Length::new::<meter>(1000.0))?;
/// assert_eq!(format!("{:.1}", p.get::<pascal>()), "89876.3");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [ISO 2533](crate::references::ISO_2533); the same below 11 km in the
/// [US Standard Atmosphere 1976](crate::references::US_STANDARD_ATMOSPHERE_1976).
pub fn pressure_at_altitude(geometric: Length) -> Result<AbsolutePressure, Error> {
    const EARTH_RADIUS_M: f64 = 6_356_766.0;
    let z = ALTITUDE.check(Input::Altitude, geometric.get::<meter>())?;
    // H = r z / (r + z)
    let h = EARTH_RADIUS_M * z / (EARTH_RADIUS_M + z);
    Ok(AbsolutePressure(base(pressure_at_geopotential_pa(h))))
}

fn pressure_at_geopotential_pa(h: f64) -> f64 {
    const P_0: f64 = 101_325.0;
    const T_0: f64 = 288.15;
    const BETA: f64 = 0.0065;
    const R: f64 = 287.052_87;
    // p = p₀ (1 − β H/T₀)^(g/(R β))
    P_0 * (1.0 - BETA * h / T_0).powf(GRAVITY_M_PER_S2 / (R * BETA))
}
