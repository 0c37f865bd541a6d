//! How the air gets into the riser.

use std::str::FromStr;

use strum::VariantArray;

use crate::error::{Error, NameKind, among};

/// A kind of injector.
///
/// What it changes in the riser is known from no source that we hold, so a prediction does not hang on it. Its interval
/// does: it is wider for a kind that none of the rigs behind it had.
///
/// ```
/// use risewater::riser::InjectorKind;
///
/// assert!(InjectorKind::DrilledRing.is_of_the_rigs());
/// assert!(!InjectorKind::Diffuser.is_of_the_rigs());
/// ```
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    strum::Display,
    strum::IntoStaticStr,
    strum::VariantArray,
    serde::Serialize,
    serde::Deserialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum InjectorKind {
    /// The open end of the air line.
    OpenTube,
    /// Holes drilled into a ring or into the riser's wall.
    DrilledRing,
    /// A porous body.
    Diffuser,
}

impl InjectorKind {
    /// All of them.
    pub const ALL: &[Self] = Self::VARIANTS;

    /// The name in design files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }

    /// Whether rigs behind the law of error had it: two of three laboratories state how the air got in, and both
    /// drilled holes into the riser's wall ([`crate::published`]).
    #[must_use]
    pub fn is_of_the_rigs(self) -> bool {
        self == Self::DrilledRing
    }

    /// In plain words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::OpenTube => "an open tube",
            Self::DrilledRing => "drilled holes",
            Self::Diffuser => "a diffuser",
        }
    }
}

impl FromStr for InjectorKind {
    type Err = Error;

    fn from_str(name: &str) -> Result<Self, Error> {
        among(NameKind::Injector, name, Self::ALL, Self::name)
    }
}
