//! Friction gradient: the pressure that the wall takes from a metre of riser.
//!
//! The closures differ in what they take the wall to feel: a mixture ([`homogeneous`]), the water between
//! long bubbles ([`slug_body`]), or all-liquid flow times a fitted multiplier ([`friedel_1979`]). All use the
//! same single-phase factor, [`darcy_factor`](crate::pipe::darcy_factor).
//!
//! The default is homogeneous, as half of the default [`Model`](crate::Model), which says by what criterion.

pub mod friedel_1979;
pub mod homogeneous;
pub mod slug_body;

use strum::{Display, IntoStaticStr, VariantArray};

use crate::error::{Error, Input, from_name};
use crate::pipe::churchill_1977::Factor;
use crate::references::{self, Reference};
use crate::two_phase::{self, Flow, TwoPhase, Validity};
use crate::units::{PressureGradient, Ratio, base, ratio};

/// A closure for the friction gradient.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Display, IntoStaticStr, VariantArray,
)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Friction {
    /// The mixture as one fluid: [`homogeneous`].
    #[default]
    Homogeneous,
    /// The water between long bubbles: [`slug_body`].
    SlugBody,
    /// A fitted multiplier: [`friedel_1979`].
    #[strum(serialize = "friedel_1979")]
    Friedel1979,
}

impl Friction {
    /// All of them, the default first.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The name in design files, as [`FromStr`](std::str::FromStr) reads it.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// Friction gradient of a cross-section, positive against an upward flow; 0 without flow.
    ///
    /// The void fraction, as a [`Slip`](crate::slip::Slip) gives it, enters [`Friction::SlugBody`] alone.
    ///
    /// # Validity
    /// [`Friction::validity`]; not enforced.
    ///
    /// # Errors
    /// As [`Slip::void_fraction`](crate::slip::Slip::void_fraction), and for a void fraction outside
    /// [`VOID_FRACTION`](two_phase::VOID_FRACTION).
    ///
    /// # Examples
    /// ```
    /// use risewater::friction::Friction;
    /// use risewater::slip::Slip;
    /// use risewater::two_phase::TwoPhase;
    /// # use risewater::units::{
    /// #     DynamicViscosity, Length, MassDensity, SurfaceTension, Velocity, kilogram_per_cubic_meter,
    /// #     meter_per_second, millimeter, newton_per_meter, pascal_second,
    /// # };
    ///
    /// // Air and water at 20 °C, 0.3 m/s each, in a 76.2 mm riser. The value is that of
    /// // tests/data/closure_checks.csv, an independent evaluation of the same equations.
    /// let section = TwoPhase {
    ///     bore: Length::new::<millimeter>(76.2),
    ///     roughness: Length::new::<millimeter>(0.0015),
    ///     liquid_velocity: Velocity::new::<meter_per_second>(0.3),
    ///     gas_velocity: Velocity::new::<meter_per_second>(0.3),
    /// #   liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2067),
    /// #   gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.193588538),
    /// #   liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.0010016),
    /// #   gas_viscosity: DynamicViscosity::new::<pascal_second>(1.813405882e-5),
    /// #   surface_tension: SurfaceTension::new::<newton_per_meter>(0.072736),
    ///     // and the properties of both phases
    /// };
    /// let alpha = Slip::default().void_fraction(&section)?;
    /// let gradient = Friction::default().gradient(&section, alpha)?;
    /// assert_eq!(format!("{:.2} Pa/m", gradient.value), "29.58 Pa/m");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn gradient(
        self,
        section: &TwoPhase,
        void_fraction: Ratio,
    ) -> Result<PressureGradient, Error> {
        let flow = section.flow()?;
        let alpha =
            two_phase::VOID_FRACTION.check(Input::VoidFraction, void_fraction.get::<ratio>())?;
        Ok(base(self.gradient_pa_per_m(&flow, alpha)))
    }

    /// The same on checked numbers.
    pub(crate) fn gradient_pa_per_m(self, flow: &Flow, alpha: f64) -> f64 {
        self.along(flow).gradient_pa_per_m(flow, alpha)
    }

    /// The closure along a riser, with what is nearly the same everywhere taken from one of its flows.
    pub(crate) fn along(self, flow: &Flow) -> Along {
        match self {
            Self::Homogeneous => Along::Homogeneous(homogeneous::factor(flow)),
            Self::SlugBody => Along::SlugBody,
            Self::Friedel1979 => Along::Friedel1979,
        }
    }

    /// The data behind it.
    #[must_use]
    pub fn validity(self) -> Validity {
        let (bore, void_fraction) = match self {
            Self::Homogeneous => (homogeneous::BORE, homogeneous::VOID_FRACTION),
            Self::SlugBody => (slug_body::BORE, slug_body::VOID_FRACTION),
            Self::Friedel1979 => (friedel_1979::BORE, friedel_1979::VOID_FRACTION),
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
            Self::Homogeneous => references::WALLIS_1969,
            Self::SlugBody => references::NICKLIN_1963,
            Self::Friedel1979 => references::FRIEDEL_1979,
        }
    }
}

/// See [`Friction::along`].
#[derive(Debug, Clone, Copy)]
pub(crate) enum Along {
    Homogeneous(Factor),
    SlugBody,
    Friedel1979,
}

impl Along {
    pub(crate) fn gradient_pa_per_m(&self, flow: &Flow, alpha: f64) -> f64 {
        match self {
            Self::Homogeneous(factor) => homogeneous::gradient_pa_per_m(flow, factor),
            Self::SlugBody => slug_body::gradient_pa_per_m(flow, alpha),
            Self::Friedel1979 => friedel_1979::gradient_pa_per_m(flow),
        }
    }
}

from_name!(Friction);
