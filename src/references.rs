//! Every published source behind a number of this library, as values that can be cited and printed.
//!
//! A docstring cites its source by a link to one of these constants with equation, table or page.
//! [`Trust`] says how the number came to us.

use std::fmt;

/// How a number of a source reached this library.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Trust {
    /// Read in the source, or in an open transcription of it.
    Read,
    /// Recalled or taken from secondary texts; re-check it against the source.
    Memory,
    /// The project's own fit or combination.
    Own,
}

impl fmt::Display for Trust {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Read => "read",
            Self::Memory => "from memory",
            Self::Own => "own",
        })
    }
}

/// A published source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reference {
    /// Short key: author and year, or body and number.
    pub key: &'static str,
    /// Full citation.
    pub text: &'static str,
    /// What this library takes from it.
    pub used_for: &'static str,
    /// How the numbers reached us.
    pub trust: Trust,
}

macro_rules! references {
    ($($name:ident = $key:literal, $trust:ident, $text:literal, $used:literal;)*) => {
        $(
            #[doc = $text]
            pub const $name: Reference = Reference { key: $key, text: $text, used_for: $used, trust: Trust::$trust };
        )*
        /// All of them, in order of the constants' names.
        pub const ALL: &[Reference] = &[$($name),*];
    };
}

references! {
    BHAGWAT_GHAJAR_2014 = "Bhagwat & Ghajar 2014", Read,
        "Bhagwat, S. M. & Ghajar, A. J. (2014). A flow pattern independent drift flux model based void fraction correlation for a wide range of gas-liquid two phase flow. Int. J. Multiphase Flow 59, 186-205.",
        "void fraction, the default closure";
    BUBBLY_COMBINATION = "own combination, bubbly flow", Own,
        "Combination of this project: distribution parameter of Ishii (1977), rise velocity of Harmathy (1960), swarm exponent as in Gomez et al. (2000).",
        "void fraction of fine bubbles";
    CHURCHILL_1977 = "Churchill 1977", Read,
        "Churchill, S. W. (1977). Friction-factor equation spans all fluid-flow regimes. Chem. Eng. 84(24), 91-92.",
        "Darcy friction factor";
    FRIEDEL_1979 = "Friedel 1979", Read,
        "Friedel, L. (1979). Improved friction pressure drop correlations for horizontal and vertical two-phase pipe flow. European Two-phase Flow Group Meeting, Ispra, paper E2.",
        "two-phase friction multiplier";
    GOMEZ_2000 = "Gomez et al. 2000", Memory,
        "Gomez, L. E., Shoham, O., Schmidt, Z., Chokshi, R. N. & Northug, T. (2000). Unified mechanistic model for steady-state two-phase flow. SPE Journal 5(3), 339-350.",
        "swarm exponent of the bubbly closure";
    HARMATHY_1960 = "Harmathy 1960", Memory,
        "Harmathy, T. Z. (1960). Velocity of large drops and bubbles in media of infinite or restricted extent. AIChE J. 6(2), 281-288.",
        "bubble rise velocity of the bubbly closure";
    ISHII_1977 = "Ishii 1977", Memory,
        "Ishii, M. (1977). One-dimensional drift-flux model and constitutive equations for relative motion between phases in various two-phase flow regimes. Argonne National Laboratory, ANL-77-47.",
        "distribution parameter of the bubbly and large-bore closures";
    KATAOKA_ISHII_1987 = "Kataoka & Ishii 1987", Memory,
        "Kataoka, I. & Ishii, M. (1987). Drift flux model for large diameter pipe and new correlation for pool void fraction. Int. J. Heat Mass Transfer 30, 1927-1939.",
        "void fraction in wide bores";
    MISHIMA_ISHII_1984 = "Mishima & Ishii 1984", Memory,
        "Mishima, K. & Ishii, M. (1984). Flow regime transition criteria for upward two-phase flow in vertical tubes. Int. J. Heat Mass Transfer 27(5), 723-737.",
        "slug to churn boundary";
    NICKENS_YANNITELL_1987 = "Nickens & Yannitell 1987", Memory,
        "Nickens, H. V. & Yannitell, D. W. (1987). The effects of surface tension and viscosity on the rise velocity of a large gas bubble in a closed, vertical liquid-filled tube. Int. J. Multiphase Flow 13, 57-69.",
        "drift velocity in small bores";
    NICKLIN_1962 = "Nicklin et al. 1962", Read,
        "Nicklin, D. J., Wilkes, J. O. & Davidson, J. F. (1962). Two-phase flow in vertical tubes. Trans. Inst. Chem. Eng. 40, 61-68.",
        "slug-flow void fraction";
    NICKLIN_1963 = "Nicklin 1963", Read,
        "Nicklin, D. J. (1963). The air-lift pump: theory and optimisation. Trans. Inst. Chem. Eng. 41, 29-39.",
        "efficiency; friction on the liquid slug";
    REINEMANN_1990 = "Reinemann et al. 1990", Read,
        "Reinemann, D. J., Parlange, J. Y. & Timmons, M. B. (1990). Theory of small-diameter airlift pumps. Int. J. Multiphase Flow 16, 113-122.",
        "void fraction in small bores";
    TAITEL_1980 = "Taitel et al. 1980", Memory,
        "Taitel, Y., Barnea, D. & Dukler, A. E. (1980). Modelling flow pattern transitions for steady upward gas-liquid flow in vertical tubes. AIChE J. 26(3), 345-354.",
        "flow pattern boundaries";
    WALLIS_1969 = "Wallis 1969", Read,
        "Wallis, G. B. (1969). One-dimensional Two-phase Flow. McGraw-Hill, New York.",
        "homogeneous friction";
    CHOW_1959 = "Chow 1959", Read,
        "Chow, V. T. (1959). Open-Channel Hydraulics. McGraw-Hill, New York.",
        "critical depth at the brink of a part-full pipe";
}
