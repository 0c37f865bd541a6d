//! The water that is lifted: fresh, salt, or with properties given outright.
//!
//! Fresh water follows IAPWS at 101.325 kPa; salt enters as a ratio to fresh water. Between the
//! surface and 100 m of water the density changes by 5e-4, which is left out.

mod fresh;
mod saturation;
mod seawater;

use crate::error::{Error, Input, range};
use crate::units::{
    AbsolutePressure, DynamicViscosity, MassDensity, Ratio, SurfaceTension,
    ThermodynamicTemperature, base, degree_celsius, kelvin, kilogram_per_cubic_meter, kilopascal,
    newton_per_meter, pascal_second, per_mille,
};

pub(crate) use saturation::saturation_pa;
pub use saturation::{SATURATION_TEMPERATURE, saturation_vapour_pressure};

range!(TEMPERATURE, 0 to 40 "degC", "Temperatures of [`Water::new`] and [`Water::fresh`].");
range!(SALINITY, 0 to 42 "g/kg", "Salinities of [`Water::new`], grams of salt per kilogram of water and salt.");
range!(GIVEN_TEMPERATURE, -5 to 100 "degC", "Temperatures of [`Water::from_properties`].");
range!(GIVEN_SALINITY, 0 to 300 "g/kg", "Salinities of [`Water::from_properties`].");
range!(GIVEN_DENSITY, 900 to 1300 "kg/m3", "Densities of [`Water::from_properties`].");
range!(GIVEN_VISCOSITY, 1e-4 to 0.1 "Pa s", "Viscosities of [`Water::from_properties`].");
range!(GIVEN_SURFACE_TENSION, 0.001 to 0.1 "N/m", "Surface tensions of [`Water::from_properties`].");
range!(GIVEN_VAPOUR_PRESSURE, 0 to 101.325 "kPa", "Vapour pressures of [`Water::from_properties`], absolute.");

/// Water at one temperature and salinity, with the properties that an airlift feels.
///
/// | property | fresh water | salt, as a ratio to fresh water |
/// |---|---|---|
/// | density | IAPWS SR6-08(2011) at 101.325 kPa | EOS-80, UNESCO (1983) |
/// | viscosity | IAPWS R12-08 | Sharqawy et al. (2010) |
/// | surface tension | IAPWS R1-76(2014) | Nayar et al. (2014) |
/// | vapour pressure | [`saturation_vapour_pressure`] | Raoult's law, Sharqawy et al. (2010) |
///
/// # Validity
/// Largest deviations of fresh water measured at 201 temperatures from 0 to 40 °C: density 9.5e-8
/// and vapour pressure 9.2e-7 from IAPWS-95, viscosity 2.4e-7 from IAPWS R12-08 at the density of
/// IAPWS-95; surface tension is the equation itself. Salt water: density within 8.7e-6 of TEOS-10;
/// viscosity 1.5 % as stated by its source; surface tension is continued from 1 to 0 °C.
///
/// # Examples
/// ```
/// use risewater::units::{
///     Ratio, ThermodynamicTemperature, degree_celsius, kilogram_per_cubic_meter, per_mille,
/// };
/// use risewater::water::Water;
///
/// // IAPWS-95 at 20 °C and 101.325 kPa: 998.20715 kg/m³
/// let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
/// let fresh = Water::fresh(temperature)?;
/// assert_eq!(format!("{:.3}", fresh.density().get::<kilogram_per_cubic_meter>()), "998.207");
///
/// // TEOS-10 at 20 °C and practical salinity 30, 30.1415 g/kg: 1020.954 kg/m³
/// let sea = Water::new(temperature, Ratio::new::<per_mille>(30.1415))?;
/// assert_eq!(format!("{:.2}", sea.density().get::<kilogram_per_cubic_meter>()), "1020.95");
/// # Ok::<(), risewater::Error>(())
/// ```
///
/// # References
/// [IAPWS SR6-08(2011)](crate::references::IAPWS_SR6_08),
/// [R12-08](crate::references::IAPWS_R12_08), [R1-76(2014)](crate::references::IAPWS_R1_76);
/// [UNESCO (1983)](crate::references::UNESCO_1983), eqs. (13) and (14), with practical salinity
/// S_P = S 35/35.16504 of [Millero et al. (2008)](crate::references::MILLERO_2008);
/// [Sharqawy et al. (2010)](crate::references::SHARQAWY_2010);
/// [Nayar et al. (2014)](crate::references::NAYAR_2014).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Water(WaterProperties);

/// Properties of water given outright, for [`Water::from_properties`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WaterProperties {
    /// Temperature; the air in the riser takes it too.
    pub temperature: ThermodynamicTemperature,
    /// Density.
    pub density: MassDensity,
    /// Dynamic viscosity.
    pub viscosity: DynamicViscosity,
    /// Surface tension against air.
    pub surface_tension: SurfaceTension,
    /// Vapour pressure.
    pub vapour_pressure: AbsolutePressure,
    /// Salinity, mass of salt over mass of water and salt.
    pub salinity: Ratio,
}

/// Water in plain SI, for the solvers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct WaterSi {
    pub t_k: f64,
    pub rho: f64,
    pub mu: f64,
    pub sigma: f64,
    pub p_v: f64,
}

impl Water {
    /// Water at a temperature and a salinity by mass (35 g/kg is 35 per mille).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`TEMPERATURE`] or [`SALINITY`], [`Error::NotFinite`] for NaN
    /// and infinities.
    ///
    /// # Examples
    /// See [`Water`].
    pub fn new(temperature: ThermodynamicTemperature, salinity: Ratio) -> Result<Self, Error> {
        let t_c = temperature.get::<degree_celsius>();
        let s = salinity.get::<per_mille>();
        TEMPERATURE.check(Input::WaterTemperature, t_c)?;
        SALINITY.check(Input::Salinity, s)?;
        let t_k = temperature.get::<kelvin>();
        let rho = fresh::density_kg_per_m3(t_k);
        let mu = fresh::viscosity_pa_s(rho, t_k);
        let sigma = fresh::surface_tension_n_per_m(t_k);
        let p_v = saturation_pa(t_k);
        Ok(Self(WaterProperties {
            temperature,
            density: base(rho * seawater::density_ratio(t_c, s)),
            viscosity: base(mu * seawater::viscosity_ratio(t_c, s)),
            surface_tension: base(sigma * seawater::surface_tension_ratio(t_c, s)),
            vapour_pressure: AbsolutePressure(base(p_v * seawater::vapour_pressure_ratio(s))),
            salinity,
        }))
    }

    /// Fresh water at a temperature.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`TEMPERATURE`], [`Error::NotFinite`] for NaN and infinities.
    ///
    /// # Examples
    /// See [`Water`].
    pub fn fresh(temperature: ThermodynamicTemperature) -> Result<Self, Error> {
        Self::new(temperature, base(0.0))
    }

    /// Water whose properties the caller knows, such as brine or warm water.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`GIVEN_TEMPERATURE`], [`GIVEN_SALINITY`], [`GIVEN_DENSITY`],
    /// [`GIVEN_VISCOSITY`], [`GIVEN_SURFACE_TENSION`] or [`GIVEN_VAPOUR_PRESSURE`],
    /// [`Error::NotFinite`] for NaN and infinities.
    ///
    /// # Examples
    /// ```
    /// use risewater::units::*;
    /// use risewater::water::{Water, WaterProperties};
    ///
    /// // A brine of a user's own measurement.
    /// let brine = Water::from_properties(WaterProperties {
    ///     temperature: ThermodynamicTemperature::new::<degree_celsius>(25.0),
    ///     density: MassDensity::new::<kilogram_per_cubic_meter>(1080.0),
    ///     viscosity: DynamicViscosity::new::<pascal_second>(1.15e-3),
    ///     surface_tension: SurfaceTension::new::<newton_per_meter>(0.0755),
    ///     vapour_pressure: AbsolutePressure::new::<kilopascal>(2.95),
    ///     salinity: Ratio::new::<per_mille>(110.0),
    /// })?;
    /// assert_eq!(brine.density().get::<kilogram_per_cubic_meter>(), 1080.0);
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn from_properties(given: WaterProperties) -> Result<Self, Error> {
        let t_c = given.temperature.get::<degree_celsius>();
        let rho = given.density.get::<kilogram_per_cubic_meter>();
        let sigma = given.surface_tension.get::<newton_per_meter>();
        GIVEN_TEMPERATURE.check(Input::WaterTemperature, t_c)?;
        GIVEN_SALINITY.check(Input::Salinity, given.salinity.get::<per_mille>())?;
        GIVEN_DENSITY.check(Input::WaterDensity, rho)?;
        GIVEN_VISCOSITY.check(
            Input::WaterViscosity,
            given.viscosity.get::<pascal_second>(),
        )?;
        GIVEN_SURFACE_TENSION.check(Input::SurfaceTension, sigma)?;
        let p_v_kpa = given.vapour_pressure.get::<kilopascal>();
        GIVEN_VAPOUR_PRESSURE.check(Input::VapourPressure, p_v_kpa)?;
        Ok(Self(given))
    }

    /// Temperature.
    #[must_use]
    pub fn temperature(&self) -> ThermodynamicTemperature {
        self.0.temperature
    }

    /// Salinity, mass of salt over mass of water and salt.
    #[must_use]
    pub fn salinity(&self) -> Ratio {
        self.0.salinity
    }

    /// Density.
    #[must_use]
    pub fn density(&self) -> MassDensity {
        self.0.density
    }

    /// Dynamic viscosity.
    #[must_use]
    pub fn viscosity(&self) -> DynamicViscosity {
        self.0.viscosity
    }

    /// Surface tension against air.
    #[must_use]
    pub fn surface_tension(&self) -> SurfaceTension {
        self.0.surface_tension
    }

    /// Vapour pressure.
    #[must_use]
    pub fn vapour_pressure(&self) -> AbsolutePressure {
        self.0.vapour_pressure
    }

    /// The same in plain SI.
    pub(crate) fn si(&self) -> WaterSi {
        WaterSi {
            t_k: self.0.temperature.get::<kelvin>(),
            rho: self.0.density.get::<kilogram_per_cubic_meter>(),
            mu: self.0.viscosity.get::<pascal_second>(),
            sigma: self.0.surface_tension.get::<newton_per_meter>(),
            p_v: self.0.vapour_pressure.pascal(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_si_is_what_the_getters_give() {
        let water = Water::new(base(293.15), base(0.035)).unwrap();
        let si = water.si();
        assert_eq!(si.t_k, 293.15);
        assert_eq!(si.rho, water.density().get::<kilogram_per_cubic_meter>());
        assert_eq!(si.mu, water.viscosity().get::<pascal_second>());
        assert_eq!(si.sigma, water.surface_tension().get::<newton_per_meter>());
        assert_eq!(si.p_v, water.vapour_pressure().pascal());
    }
}
