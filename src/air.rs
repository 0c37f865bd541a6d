//! Air as an ideal gas with water vapour, the atmosphere, and air flow as a mass of dry air.

mod atmosphere;
mod flow;
mod named;
mod state;

use crate::error::{Error, Input};
use crate::units::{
    AbsolutePressure, DynamicViscosity, MassDensity, Ratio, SpecificHeatCapacity,
    ThermodynamicTemperature, base, degree_celsius, kelvin,
};

pub use atmosphere::{ALTITUDE, pressure_at_altitude};
pub(crate) use flow::at_20_c;
pub use flow::{AIR_FLOW, AirFlow};
pub use named::{NAMED, NamedAirState};
pub use state::{AIR_PRESSURE, AIR_TEMPERATURE, AirState, HUMIDITY};

/// Gas constant of dry air, 287.055 J/(kg K).
///
/// 8314.41/28.9645, as in [ASHRAE (2005)](crate::references::ASHRAE_2005), from memory. ISO 2533
/// prints 287.05287, 7e-6 less.
pub const GAS_CONSTANT_DRY_AIR: SpecificHeatCapacity = base(DRY_AIR_GAS_CONSTANT);

/// Gas constant of water vapour, 461.523 J/(kg K).
///
/// 8314.462618/18.015268: molar gas constant of [CODATA (2018)](crate::references::CODATA_2018),
/// molar mass of [IAPWS R6-95(2018)](crate::references::IAPWS_R6_95).
pub const GAS_CONSTANT_VAPOUR: SpecificHeatCapacity = base(VAPOUR_GAS_CONSTANT);

/// [`GAS_CONSTANT_DRY_AIR`] in plain SI, J/(kg K).
pub(crate) const DRY_AIR_GAS_CONSTANT: f64 = 287.055;

/// [`GAS_CONSTANT_VAPOUR`] in plain SI, J/(kg K).
pub(crate) const VAPOUR_GAS_CONSTANT: f64 = 461.523;

/// Density of dry air as an ideal gas.
///
/// ```text
/// ρ = p / (R T)                                                  R = 287.055 J/(kg K)
/// ```
///
/// # Validity
/// Within 6.2e-4 of Lemmon et al. at 0 to 60 °C and one atmosphere; the error grows in proportion
/// to the pressure.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`AIR_TEMPERATURE`] or [`AIR_PRESSURE`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::air::dry_air_density;
/// use risewater::units::{
///     AbsolutePressure, ThermodynamicTemperature, degree_celsius, kilogram_per_cubic_meter,
/// };
///
/// // ISO 2533 at sea level, 15 °C and one atmosphere: 1.225 kg/m³
/// let rho = dry_air_density(
///     ThermodynamicTemperature::new::<degree_celsius>(15.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// )?;
/// assert_eq!(format!("{:.3}", rho.get::<kilogram_per_cubic_meter>()), "1.225");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// Gas constant: [`GAS_CONSTANT_DRY_AIR`]. Held against
/// [Lemmon et al. (2000)](crate::references::LEMMON_2000).
pub fn dry_air_density(
    temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
) -> Result<MassDensity, Error> {
    moist_air_density(temperature, pressure, base(0.0))
}

/// Density of moist air as a mixture of ideal gases.
///
/// ```text
/// ρ = (p − φ p_s) / (R T) + φ p_s / (R_v T)
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | p | absolute pressure | Pa |
/// | φ | relative humidity | 1 |
/// | p_s | [saturation pressure](crate::water::saturation_vapour_pressure) over liquid water | Pa |
/// | R, R_v | [`GAS_CONSTANT_DRY_AIR`], [`GAS_CONSTANT_VAPOUR`] | J/(kg K) |
///
/// # Validity
/// Within 6.2e-4 of CIPM-2007 at 0 to 40 °C, any humidity and one atmosphere.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`AIR_TEMPERATURE`], [`AIR_PRESSURE`] or [`HUMIDITY`],
/// [`Error::NotFinite`], [`Error::Inconsistent`] when the vapour alone would reach the pressure.
///
/// # Examples
/// ```
/// use risewater::air::moist_air_density;
/// use risewater::units::{
///     AbsolutePressure, Ratio, ThermodynamicTemperature, degree_celsius,
///     kilogram_per_cubic_meter, percent,
/// };
///
/// // CIPM-2007 at 20 °C and 50 %: 1.1993 kg/m³, 4e-4 more than an ideal gas
/// let rho = moist_air_density(
///     ThermodynamicTemperature::new::<degree_celsius>(20.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
///     Ratio::new::<percent>(50.0),
/// )?;
/// assert_eq!(format!("{:.3}", rho.get::<kilogram_per_cubic_meter>()), "1.199");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// Dalton's law. Held against [Picard et al. (2008)](crate::references::PICARD_2008).
pub fn moist_air_density(
    temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
    humidity: Ratio,
) -> Result<MassDensity, Error> {
    let state = AirState {
        temperature,
        pressure,
        humidity,
    }
    .checked()?;
    // ρ = (p − φ p_s)/(R T) + φ p_s/(R_v T)
    let dry = (state.p_pa - state.vapour_pa) / (DRY_AIR_GAS_CONSTANT * state.t_k);
    let vapour = state.vapour_pa / (VAPOUR_GAS_CONSTANT * state.t_k);
    Ok(base(dry + vapour))
}

/// Viscosity of air by Sutherland's formula, as ISO 2533 has it.
///
/// ```text
/// μ = β_s T^(3/2) / (T + S)        β_s = 1.458e-6 kg/(m s K^½), S = 110.4 K        (eq. 51)
/// ```
///
/// # Validity
/// Within 5.6e-3 of Lemmon & Jacobsen at 0 to 60 °C and one atmosphere. Humidity is left out.
///
/// # Errors
/// [`Error::OutOfRange`] outside [`AIR_TEMPERATURE`], [`Error::NotFinite`].
///
/// # Examples
/// ```
/// use risewater::air::viscosity;
/// use risewater::units::{ThermodynamicTemperature, degree_celsius, pascal_second};
///
/// // US Standard Atmosphere 1976 at sea level, 15 °C: 1.7894e-5 Pa s
/// let mu = viscosity(ThermodynamicTemperature::new::<degree_celsius>(15.0))?;
/// assert_eq!(format!("{:.4e}", mu.get::<pascal_second>()), "1.7894e-5");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [US Standard Atmosphere 1976](crate::references::US_STANDARD_ATMOSPHERE_1976), eq. (51);
/// [ISO 2533](crate::references::ISO_2533). Held against
/// [Lemmon & Jacobsen (2004)](crate::references::LEMMON_JACOBSEN_2004).
pub fn viscosity(temperature: ThermodynamicTemperature) -> Result<DynamicViscosity, Error> {
    AIR_TEMPERATURE.check(Input::AirTemperature, temperature.get::<degree_celsius>())?;
    Ok(base(viscosity_pa_s(temperature.get::<kelvin>())))
}

/// [`viscosity`] in plain SI, unchecked.
pub(crate) fn viscosity_pa_s(t_k: f64) -> f64 {
    // μ = 1.458e-6 T^(3/2) / (T + 110.4)
    1.458e-6 * t_k.powf(1.5) / (t_k + 110.4)
}
