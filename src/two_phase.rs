//! The local state of a two-phase flow, which the slip and friction closures read.

use crate::error::{Error, Input, Range, range};
pub use crate::pipe::BORE;
pub use crate::pipe::churchill_1977::RELATIVE_ROUGHNESS;
use crate::units::{
    DynamicViscosity, GRAVITY_M_PER_S2, Length, MassDensity, Ratio, SurfaceTension, Velocity,
    kilogram_per_cubic_meter, meter, meter_per_second, millimeter, newton_per_meter, pascal_second,
    ratio,
};

range!(ROUGHNESS, 0 to 50 "mm",
    "Roughness that the library computes; it must also stay below [`RELATIVE_ROUGHNESS`].");
range!(VOID_FRACTION, 0 to 1, "Void fractions that can be.");
range!(SUPERFICIAL_VELOCITY, 0 to 1000 "m/s", "Superficial velocities that the library computes.");

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

/// The data behind a closure: outside them a result is still computed, but it is a guess.
///
/// ```
/// use risewater::slip::Slip;
/// use risewater::units::{Length, Ratio, millimeter, percent};
///
/// // Reinemann, Parlange & Timmons (1990), title page: 3 to 25 mm.
/// let validity = Slip::Reinemann1990.validity();
/// assert!(validity.covers(Length::new::<millimeter>(19.0), Ratio::new::<percent>(50.0)));
/// assert!(!validity.covers(Length::new::<millimeter>(76.0), Ratio::new::<percent>(50.0)));
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Validity {
    /// Bores, in millimetres.
    pub bore: Range,
    /// Void fractions.
    pub void_fraction: Range,
}

impl Validity {
    /// Whether both lie within the data.
    #[must_use]
    pub fn covers(&self, bore: Length, void_fraction: Ratio) -> bool {
        self.bore.contains(bore.get::<millimeter>())
            && self.void_fraction.contains(void_fraction.get::<ratio>())
    }
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
    pub(crate) fn mass_flux(&self) -> f64 {
        self.rho_l * self.j_l + self.rho_g * self.j_g
    }

    /// Density difference Δρ = ρ_l − ρ_g, kg/m³.
    pub(crate) fn density_difference(&self) -> f64 {
        self.rho_l - self.rho_g
    }

    /// Laplace length √(σ/(g Δρ)), m.
    pub(crate) fn laplace_m(&self) -> f64 {
        (self.sigma / (GRAVITY_M_PER_S2 * self.density_difference())).sqrt()
    }

    /// Velocity scale of large bubbles (σ g Δρ/ρ_l²)^¼, m/s.
    pub(crate) fn bubble_scale(&self) -> f64 {
        (self.sigma * GRAVITY_M_PER_S2 * self.density_difference())
            .sqrt()
            .sqrt()
            / self.rho_l.sqrt()
    }
}

impl TwoPhase {
    /// Checks every field and converts to plain SI.
    pub(crate) fn flow(&self) -> Result<Flow, Error> {
        let positive =
            |what, value: f64, unit| Range::new(f64::MIN_POSITIVE, 1e6, unit).check(what, value);
        let speed = |velocity: Velocity| {
            SUPERFICIAL_VELOCITY.check(
                Input::SuperficialVelocity,
                velocity.get::<meter_per_second>(),
            )
        };
        let density =
            |what, rho: MassDensity| positive(what, rho.get::<kilogram_per_cubic_meter>(), "kg/m3");
        let viscosity =
            |what, mu: DynamicViscosity| positive(what, mu.get::<pascal_second>(), "Pa s");
        BORE.check(Input::Bore, self.bore.get::<millimeter>())?;
        ROUGHNESS.check(Input::Roughness, self.roughness.get::<millimeter>())?;
        let d_m = self.bore.get::<meter>();
        let flow = Flow {
            d_m,
            relative_roughness: RELATIVE_ROUGHNESS.check(
                Input::RelativeRoughness,
                self.roughness.get::<meter>() / d_m,
            )?,
            j_l: speed(self.liquid_velocity)?,
            j_g: speed(self.gas_velocity)?,
            rho_l: density(Input::WaterDensity, self.liquid_density)?,
            rho_g: density(Input::GasDensity, self.gas_density)?,
            mu_l: viscosity(Input::WaterViscosity, self.liquid_viscosity)?,
            mu_g: viscosity(Input::GasViscosity, self.gas_viscosity)?,
            sigma: positive(
                Input::SurfaceTension,
                self.surface_tension.get::<newton_per_meter>(),
                "N/m",
            )?,
        };
        if flow.rho_g >= flow.rho_l {
            return Err(Error::Inconsistent {
                larger: Input::WaterDensity,
                larger_value: flow.rho_l,
                smaller: Input::GasDensity,
                smaller_value: flow.rho_g,
                unit: "kg/m3",
            });
        }
        if flow.mu_g >= flow.mu_l {
            return Err(Error::Inconsistent {
                larger: Input::WaterViscosity,
                larger_value: flow.mu_l,
                smaller: Input::GasViscosity,
                smaller_value: flow.mu_g,
                unit: "Pa s",
            });
        }
        Ok(flow)
    }
}

#[cfg(test)]
impl Flow {
    /// The row of `tests/data/closure_checks.csv` that the closures' own tests use: air and water at 20 °C,
    /// 0.3 m/s each, in 25.4 mm.
    pub(crate) fn check() -> Self {
        Self {
            d_m: 0.0254,
            relative_roughness: 1.5e-6 / 0.0254,
            j_l: 0.3,
            j_g: 0.3,
            rho_l: 998.2067,
            rho_g: 1.193_588_538,
            mu_l: 0.001_001_6,
            mu_g: 1.813_405_882e-5,
            sigma: 0.072_736,
        }
    }
}
