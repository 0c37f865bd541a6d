//! The local state of a two-phase flow, which the slip and friction closures read.

use crate::error::{Error, Input, Range};
use crate::units::{
    DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity, kilogram_per_cubic_meter,
    meter, meter_per_second, millimeter, newton_per_meter, pascal_second,
};

/// Bores that the library computes. Far wider than the data behind any closure: outside those data
/// a result carries cautions.
pub const BORE: Range = Range::new(1.0, 3000.0, "mm");
/// Roughness that the library computes, below half the bore.
pub const ROUGHNESS: Range = Range::new(0.0, 50.0, "mm");
/// Superficial velocities that the library computes.
pub const SUPERFICIAL_VELOCITY: Range = Range::new(0.0, 1000.0, "m/s");

/// What one cross-section of the riser carries: the input of every closure.
///
/// | symbol | field | unit |
/// |---|---|---|
/// | D | `bore` (hydraulic diameter of an annulus) | m |
/// | ε | `roughness` | m |
/// | j_l, j_g | superficial velocities, volume flow over area | m/s |
/// | ρ_l, ρ_g | densities | kg/m³ |
/// | μ_l, μ_g | dynamic viscosities | Pa s |
/// | σ | surface tension | N/m |
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwoPhase {
    /// Bore, or the hydraulic diameter of an annulus.
    pub bore: Length,
    /// Roughness of the wall.
    pub roughness: Length,
    /// Superficial velocity of the water.
    pub liquid_velocity: Velocity,
    /// Superficial velocity of the gas at the local pressure.
    pub gas_velocity: Velocity,
    /// Density of the water.
    pub liquid_density: MassDensity,
    /// Density of the gas at the local pressure.
    pub gas_density: MassDensity,
    /// Viscosity of the water.
    pub liquid_viscosity: DynamicViscosity,
    /// Viscosity of the gas.
    pub gas_viscosity: DynamicViscosity,
    /// Surface tension.
    pub surface_tension: SurfaceTension,
}

/// The same in plain SI, for the closures' formulas and the solvers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Flow {
    pub d_m: f64,
    pub relative_roughness: f64,
    pub j_l: f64,
    pub j_g: f64,
    pub rho_l: f64,
    pub rho_g: f64,
    pub mu_l: f64,
    pub mu_g: f64,
    pub sigma: f64,
}

impl Flow {
    /// Mixture velocity j = j_l + j_g, m/s.
    pub fn j(&self) -> f64 {
        self.j_l + self.j_g
    }

    /// Mass flux G = ρ_l j_l + ρ_g j_g, kg/(m² s).
    pub fn mass_flux(&self) -> f64 {
        self.rho_l * self.j_l + self.rho_g * self.j_g
    }
}

impl TwoPhase {
    /// Checks every field and converts to plain SI.
    pub(crate) fn flow(&self) -> Result<Flow, Error> {
        let positive = |what, value: f64, unit| Range::new(f64::MIN_POSITIVE, 1e6, unit).check(what, value);
        BORE.check(Input::Bore, self.bore.get::<millimeter>())?;
        ROUGHNESS.check(Input::Roughness, self.roughness.get::<millimeter>())?;
        let d_m = self.bore.get::<meter>();
        Ok(Flow {
            d_m,
            relative_roughness: self.roughness.get::<meter>() / d_m,
            j_l: SUPERFICIAL_VELOCITY.check(Input::SuperficialVelocity, self.liquid_velocity.get::<meter_per_second>())?,
            j_g: SUPERFICIAL_VELOCITY.check(Input::SuperficialVelocity, self.gas_velocity.get::<meter_per_second>())?,
            rho_l: positive(Input::WaterDensity, self.liquid_density.get::<kilogram_per_cubic_meter>(), "kg/m3")?,
            rho_g: positive(Input::GasDensity, self.gas_density.get::<kilogram_per_cubic_meter>(), "kg/m3")?,
            mu_l: positive(Input::WaterViscosity, self.liquid_viscosity.get::<pascal_second>(), "Pa s")?,
            mu_g: positive(Input::GasViscosity, self.gas_viscosity.get::<pascal_second>(), "Pa s")?,
            sigma: positive(Input::SurfaceTension, self.surface_tension.get::<newton_per_meter>(), "N/m")?,
        })
    }
}
