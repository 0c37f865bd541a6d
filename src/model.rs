//! The choice of closures behind a prediction.

use std::fmt;

use crate::error::{Error, Input, range};
use crate::friction::Friction;
use crate::slip::Slip;
use crate::units::system::developing;
use crate::units::{Length, Ratio, UnitSystem, meter, ratio};

range!(DEVELOPING_BORES, 0 to 100 "bores", "Developing lengths in bores that the library computes.");

range!(DEVELOPING_LENGTH, 0 to 25 "m",
    "Developing lengths that the library computes: to 8 bores of the widest pipe. Far longer ones would charge \
     more at the foot than its pressure balance can carry.");

/// Length over which the void above the injection point develops, ℓ.
///
/// ```
/// use risewater::DevelopingLength;
/// use risewater::units::{Length, Ratio, meter, millimeter, ratio};
///
/// let wide = Length::new::<millimeter>(77.0);
/// // The shorter of 0.2 m and 8 bores (0.616 m).
/// assert_eq!(DevelopingLength::default().of(wide), Length::new::<meter>(0.2));
/// let bores: DevelopingLength = Ratio::new::<ratio>(8.0).into();
/// assert_eq!(format!("{:.3}", bores.of(wide).get::<meter>()), "0.616");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum DevelopingLength {
    /// [`Self::LONGEST_M`] metres, but at most [`Self::MOST_BORES`] bores: the project's own fit (see [`Model`]).
    #[default]
    Shorter,
    /// A number of bores.
    Bores(Ratio),
    /// A length, the same in every pipe.
    Length(Length),
}

impl DevelopingLength {
    /// Longest by default, in m: the project's own fit.
    pub const LONGEST_M: f64 = 0.2;
    /// Most bores by default: the project's own fit.
    pub const MOST_BORES: f64 = 8.0;

    /// The length in a pipe of a bore.
    #[must_use]
    pub fn of(self, bore: Length) -> Length {
        match self {
            Self::Shorter => (Self::MOST_BORES * bore).min(Length::new::<meter>(Self::LONGEST_M)),
            Self::Bores(bores) => bores * bore,
            Self::Length(length) => length,
        }
    }

    /// The length in a pipe of a bore, checked.
    pub(crate) fn checked(self, bore: Length) -> Result<Length, Error> {
        if let Self::Bores(bores) = self {
            DEVELOPING_BORES.check(Input::DevelopingLength, bores.get::<ratio>())?;
        }
        let length = self.of(bore);
        DEVELOPING_LENGTH.check(Input::DevelopingLength, length.get::<meter>())?;
        Ok(length)
    }
}

impl From<Ratio> for DevelopingLength {
    fn from(bores: Ratio) -> Self {
        Self::Bores(bores)
    }
}

impl From<Length> for DevelopingLength {
    fn from(length: Length) -> Self {
        Self::Length(length)
    }
}

impl DevelopingLength {
    /// The most metres and the most bores that it allows; the shorter counts.
    pub(crate) fn limits(self) -> (Option<f64>, Option<f64>) {
        match self {
            Self::Shorter => (Some(Self::LONGEST_M), Some(Self::MOST_BORES)),
            Self::Bores(bores) => (None, Some(bores.get::<ratio>())),
            Self::Length(length) => (Some(length.get::<meter>()), None),
        }
    }

    /// In words of a system of units.
    #[must_use]
    pub fn worded(self, units: UnitSystem) -> String {
        developing(units, self.limits())
    }
}

impl fmt::Display for DevelopingLength {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.worded(UnitSystem::Metric))
    }
}

/// Which closures predict the void fraction and the friction, and the developing length.
///
/// The default is [`Slip::BhagwatGhajar2014`] with [`Friction::Homogeneous`] and a developing length of
/// 0.2 m, but at most 8 bores. Its criterion is the rms of ln(predicted/measured), as a mean over
/// laboratories, each left out in turn, at submergence ratios of 0.4 and more and without Pickert's well.
/// [`Slip::SmithDrift`] does better by it on the rigs that the library holds, and worse near the threshold and on one of two
/// laboratories, so it is for submergence ratios below 0.4.
/// By rms pooled over the points that the library holds other pairs are as good or better:
/// [`crate::published`] computes it for any. A change of closure changes designs, so a design file can
/// pin it.
///
/// The developing length ℓ charges at the foot a pressure for the void that has not developed yet,
///
/// ```text
/// Δp_dev = ρ_l g α(p1) ℓ (1 − e^(−L/ℓ))        ℓ = min(8 D, 0.2 m)
/// ```
///
/// It is the project's own fit, not from the literature. The 8 bores were chosen by leaving one laboratory
/// out at a time, over seven risers of 19 to 51 mm bore and 0.8 to 7.5 m length; all but one are 19 to 28 mm
/// wide, where 8 bores are 0.15 to 0.23 m. Wider pipes (46 to 235 mm, most of them known in part or second
/// hand) say 0.2 m or less but for one. Part of the data is not in `tests/data`
/// ([Stenning & Martin 1968](crate::references::STENNING_MARTIN_1968) and
/// [Goharzadeh & Fernandes](crate::references::GOHARZADEH_FERNANDES) are second hand).
///
/// ```
/// use risewater::Model;
///
/// assert_eq!(
///     Model::default().to_string(),
///     "bhagwat_ghajar_2014 + homogeneous, developing length 0.2 m but at most 8 bores"
/// );
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Model {
    /// Void fraction closure.
    pub slip: Slip,
    /// Friction closure.
    pub friction: Friction,
    /// Developing length ℓ. The project's own fit.
    pub developing_length: DevelopingLength,
}

impl Model {
    /// A pair of closures with the default developing length.
    #[must_use]
    pub fn new(slip: Slip, friction: Friction) -> Self {
        Self {
            slip,
            friction,
            developing_length: DevelopingLength::default(),
        }
    }

    /// The same closures with another developing length: a number of bores, or a length.
    #[must_use]
    pub fn with_developing_length(mut self, length: impl Into<DevelopingLength>) -> Self {
        self.developing_length = length.into();
        self
    }
}

impl Default for Model {
    fn default() -> Self {
        Self::new(Slip::default(), Friction::default())
    }
}

impl Model {
    /// Its name in a system of units.
    #[must_use]
    pub fn worded(&self, units: UnitSystem) -> String {
        let length = self.developing_length.worded(units);
        format!(
            "{} + {}, developing length {length}",
            self.slip, self.friction
        )
    }
}

impl fmt::Display for Model {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.worded(UnitSystem::Metric))
    }
}

/// As it displays.
impl serde::Serialize for Model {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}
