//! Void fraction: how much of a cross-section the gas fills.
//!
//! Every closure is a drift-flux relation `α = j_g/(C₀ j + V_d)`: the gas is carried faster than the
//! mixture by `C₀` because it keeps to the middle, and it drifts up through it at `V_d`. They differ in
//! these two. One file a closure holds equation, range and source.
//!
//! The default is Bhagwat & Ghajar (2014), as half of the default [`Model`](crate::Model), which says by
//! what criterion.

pub mod bhagwat_ghajar_2014;
pub mod bubbly;
mod drift_flux;
pub mod kataoka_ishii_1987;
pub mod nicklin_1962;
pub mod reinemann_1990;
pub mod smith_drift;

use strum::{Display, IntoStaticStr, VariantArray};

use bhagwat_ghajar_2014::Drift;

use crate::error::{Error, from_name};
use crate::references::{self, Reference};
use crate::two_phase::{Flow, TwoPhase, Validity};
use crate::units::{Ratio, ratio};

/// A closure for the void fraction.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Display, IntoStaticStr, VariantArray,
)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Slip {
    /// All flow patterns, 0.5 to 305 mm: [`bhagwat_ghajar_2014`].
    #[default]
    #[strum(serialize = "bhagwat_ghajar_2014")]
    BhagwatGhajar2014,
    /// Slug flow, the textbook closure: [`nicklin_1962`].
    #[strum(serialize = "nicklin_1962")]
    Nicklin1962,
    /// Slug flow in small bores: [`reinemann_1990`].
    #[strum(serialize = "reinemann_1990")]
    Reinemann1990,
    /// Large bores: [`kataoka_ishii_1987`].
    #[strum(serialize = "kataoka_ishii_1987")]
    KataokaIshii1987,
    /// Fine bubbles, up to a void fraction of 0.3: [`bubbly`].
    Bubbly,
    /// Churn and annular flow, for submergence ratios below 0.4: [`smith_drift`].
    SmithDrift,
}

impl Slip {
    /// All of them, the default first.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The name in design files, as [`FromStr`](std::str::FromStr) reads it.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// Void fraction α of a cross-section; 0 without gas, always below 1.
    ///
    /// # Validity
    /// [`Slip::validity`]; not enforced.
    ///
    /// # Errors
    /// As every [`TwoPhase`] that is out of its ranges: [`BORE`](crate::two_phase::BORE),
    /// [`ROUGHNESS`](crate::two_phase::ROUGHNESS),
    /// [`SUPERFICIAL_VELOCITY`](crate::two_phase::SUPERFICIAL_VELOCITY), properties above 0, the gas lighter and less viscous
    /// than the water.
    ///
    /// # Examples
    /// ```
    /// use risewater::slip::Slip;
    /// use risewater::two_phase::TwoPhase;
    /// # use risewater::units::{
    /// #     DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity, kilogram_per_cubic_meter,
    /// #     meter_per_second, millimeter, newton_per_meter, pascal_second, ratio,
    /// # };
    ///
    /// // Air and water at 20 °C, 0.3 m/s each, in a 76.2 mm riser. The values are those of
    /// // tests/data/closure_checks.csv, an independent evaluation of the same equations.
    /// let section = TwoPhase {
    ///     bore: Length::new::<millimeter>(76.2),
    ///     liquid_velocity: Velocity::new::<meter_per_second>(0.3),
    ///     gas_velocity: Velocity::new::<meter_per_second>(0.3),
    /// #   roughness: Length::new::<millimeter>(0.0015),
    /// #   liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2067),
    /// #   gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.193588538),
    /// #   liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.0010016),
    /// #   gas_viscosity: DynamicViscosity::new::<pascal_second>(1.813405882e-5),
    ///     surface_tension: SurfaceTension::new::<newton_per_meter>(0.072736),
    ///     // and the other properties
    /// };
    /// let alpha = Slip::default().void_fraction(&section)?;
    /// assert_eq!(format!("{:.4}", alpha.get::<ratio>()), "0.3085");
    /// let textbook = "nicklin_1962".parse::<Slip>()?.void_fraction(&section)?;
    /// assert_eq!(format!("{:.4}", textbook.get::<ratio>()), "0.2934");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn void_fraction(self, section: &TwoPhase) -> Result<Ratio, Error> {
        Ok(Ratio::new::<ratio>(self.gas_fraction(&section.flow()?)))
    }

    /// The same on checked numbers.
    pub(crate) fn gas_fraction(self, flow: &Flow) -> f64 {
        self.in_pipe(flow.d_m, flow.rho_l, flow.sigma)
            .gas_fraction(flow)
    }

    /// The closure in a pipe of water, with what is the same in every cross-section worked out.
    pub(crate) fn in_pipe(self, d_m: f64, rho_l: f64, sigma: f64) -> InPipe {
        InPipe {
            closure: self,
            drift: Drift::new(d_m, rho_l, sigma),
        }
    }

    /// Laplace lengths √(σ/(g Δρ)) at which the formula passes from one branch to another, m; infinite for
    /// none.
    pub(crate) fn bends_m(self, d_m: f64, rho_l: f64, mu_l: f64, sigma: f64) -> [f64; 2] {
        match self {
            Self::BhagwatGhajar2014 | Self::SmithDrift => {
                [bhagwat_ghajar_2014::bend_m(d_m), f64::INFINITY]
            }
            Self::KataokaIshii1987 => kataoka_ishii_1987::bends_m(d_m, rho_l, mu_l, sigma),
            Self::Nicklin1962 | Self::Reinemann1990 | Self::Bubbly => [f64::INFINITY; 2],
        }
    }

    /// Whether the void can change so fast with the pressure that the coarse rules of the height do not do.
    pub(crate) fn is_steep(self) -> bool {
        self == Self::SmithDrift
    }

    /// The data behind it.
    #[must_use]
    pub fn validity(self) -> Validity {
        let (bore, void_fraction) = match self {
            Self::BhagwatGhajar2014 => (
                bhagwat_ghajar_2014::BORE,
                bhagwat_ghajar_2014::VOID_FRACTION,
            ),
            Self::Nicklin1962 => (nicklin_1962::BORE, nicklin_1962::VOID_FRACTION),
            Self::Reinemann1990 => (reinemann_1990::BORE, reinemann_1990::VOID_FRACTION),
            Self::KataokaIshii1987 => (kataoka_ishii_1987::BORE, kataoka_ishii_1987::VOID_FRACTION),
            Self::Bubbly => (bubbly::BORE, bubbly::VOID_FRACTION),
            Self::SmithDrift => (smith_drift::BORE, smith_drift::VOID_FRACTION),
        };
        Validity {
            bore,
            void_fraction,
        }
    }

    /// Its source.
    #[must_use]
    pub fn reference(self) -> Reference {
        match self {
            Self::BhagwatGhajar2014 => references::BHAGWAT_GHAJAR_2014,
            Self::Nicklin1962 => references::NICKLIN_1962,
            Self::Reinemann1990 => references::REINEMANN_1990,
            Self::KataokaIshii1987 => references::KATAOKA_ISHII_1987,
            Self::Bubbly => references::BUBBLY_COMBINATION,
            Self::SmithDrift => references::SMITH_COMBINATION,
        }
    }
}

/// See [`Slip::in_pipe`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct InPipe {
    pub closure: Slip,
    drift: Drift,
}

impl InPipe {
    pub(crate) fn gas_fraction(&self, flow: &Flow) -> f64 {
        match self.closure {
            Slip::BhagwatGhajar2014 => bhagwat_ghajar_2014::gas_fraction(flow, &self.drift),
            Slip::Nicklin1962 => nicklin_1962::gas_fraction(flow),
            Slip::Reinemann1990 => reinemann_1990::gas_fraction(flow),
            Slip::KataokaIshii1987 => kataoka_ishii_1987::gas_fraction(flow),
            Slip::Bubbly => bubbly::gas_fraction(flow),
            Slip::SmithDrift => smith_drift::gas_fraction(flow, &self.drift),
        }
    }
}

from_name!(Slip);
