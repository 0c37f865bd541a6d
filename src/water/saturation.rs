//! Vapour pressure of fresh water, the one equation that water and moist air share.

use crate::error::{Error, Input, range};
use crate::units::{AbsolutePressure, ThermodynamicTemperature, base, degree_celsius, kelvin};

range!(SATURATION_TEMPERATURE, -60 to 200 "degC", "Temperatures of [`saturation_vapour_pressure`].");

/// Vapour pressure of fresh liquid water at saturation.
///
/// ```text
/// ln(p_s / 1 Pa) = a₀ + a₁ x + a₂ x² + a₃ x³ + a₄ x⁴ + a₅ ln x        x = 273.16 K / T
/// ```
///
/// An own fit to IAPWS-95, since the published auxiliary equation (IAPWS SR1-86) is up to 7.2e-5 off
/// it at 0 to 40 °C.
///
/// # Validity
/// Six coefficients, fitted to 401 temperatures from 0.01 to 200 °C. Measured: at most 9.2e-7 from
/// IAPWS-95 at these and at 201 temperatures from 0 to 40 °C. Below 0 °C it is
/// continued over supercooled water, not ice: within 1e-3 of Murphy & Koop to −40 °C, 2e-2 to −60 °C.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`SATURATION_TEMPERATURE`].
///
/// # Examples
/// ```
/// use risewater::units::{ThermodynamicTemperature, degree_celsius, pascal};
/// use risewater::water::saturation_vapour_pressure;
///
/// // IAPWS-95 at 20 °C: 2339.318 Pa
/// let p = saturation_vapour_pressure(ThermodynamicTemperature::new::<degree_celsius>(20.0))?;
/// assert_eq!(format!("{:.2}", p.get::<pascal>()), "2339.32");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [Own fit](crate::references::OWN_SATURATION_FIT) to
/// [IAPWS R6-95(2018)](crate::references::IAPWS_R6_95); below 0 °C held against
/// [Murphy & Koop (2005)](crate::references::MURPHY_KOOP_2005), eq. (10).
pub fn saturation_vapour_pressure(
    temperature: ThermodynamicTemperature,
) -> Result<AbsolutePressure, Error> {
    SATURATION_TEMPERATURE.check(Input::WaterTemperature, temperature.get::<degree_celsius>())?;
    Ok(AbsolutePressure(base(saturation_pa(
        temperature.get::<kelvin>(),
    ))))
}

/// The same in plain SI, unchecked.
pub(crate) fn saturation_pa(t_k: f64) -> f64 {
    // Own fit to IAPWS-95 (see above).
    const A: [f64; 6] = [
        -0.308_873_06,
        36.241_537_19,
        -46.898_871_36,
        21.662_862_46,
        -4.280_486_29,
        -10.159_759_32,
    ];
    // x = 273.16 K / T;  ln p = a₀ + a₁ x + a₂ x² + a₃ x³ + a₄ x⁴ + a₅ ln x, by Horner's rule
    let x = 273.16 / t_k;
    let polynomial = A[0] + x * (A[1] + x * (A[2] + x * (A[3] + x * A[4])));
    (polynomial + A[5] * x.ln()).exp()
}
