//! Default loss coefficients and roughness, with their sources and spread.
//!
//! Each K is charged on the velocity head of the mean velocity, in single-phase flow:
//!
//! ```text
//! Δp = K ρ j²/2
//! ```
//!
//! None is validated for a two-phase stream, as at the top of a riser. Published values differ by
//! 30 % and more, which [`LossDefault::low`] and [`LossDefault::high`] show.
//!
//! # References
//! [Crane TP-410](crate::references::CRANE_TP410), [Harris (1928)](crate::references::HARRIS_1928),
//! [Hooper (1981)](crate::references::HOOPER_1981), [Idelchik](crate::references::IDELCHIK),
//! [Miller](crate::references::MILLER) and [Rennels & Hudson
//! (2012)](crate::references::RENNELS_HUDSON_2012), all by way of
//! [fluids 1.3.1](crate::references::BELL_FLUIDS).

use crate::references::{
    BELL_FLUIDS, CRANE_TP410, HOOPER_1981, RENNELS_HUDSON_2012, Reference, Trust,
};
use crate::units::{Length, Ratio, base};

/// A default with its spread and source.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LossDefault<Q = Ratio> {
    /// What it is for.
    pub name: &'static str,
    /// The default.
    pub value: Q,
    /// Smallest of the published values at hand.
    pub low: Q,
    /// Largest of the published values at hand.
    pub high: Q,
    /// Where the default is from; none where it is the project's own choice.
    pub reference: Option<Reference>,
    /// How it reached us.
    pub trust: Trust,
    /// What the number holds for, and whose values the spread covers.
    pub note: &'static str,
}

macro_rules! losses {
    ($($(#[$doc:meta])* $name:ident = $words:literal, $value:literal, $low:literal to $high:literal,
        $reference:expr, $trust:ident, $note:literal;)*) => {
        $(
            $(#[$doc])*
            #[doc = concat!("\n\nK = ", stringify!($value), ": ", $note, ".")]
            pub const $name: LossDefault = LossDefault {
                name: $words,
                value: base($value),
                low: base($low),
                high: base($high),
                reference: $reference,
                trust: Trust::$trust,
                note: $note,
            };
        )*
        /// Every loss coefficient, to print.
        ///
        /// ```
        /// use risewater::pipe::losses;
        /// use risewater::units::ratio;
        ///
        /// // Square-edged flush inlet: 0.5 in nearly every handbook.
        /// assert_eq!(losses::ENTRANCE_FLUSH.value.get::<ratio>(), 0.5);
        /// for loss in losses::ALL {
        ///     println!("{}: {}", loss.name, loss.value.get::<ratio>());
        /// }
        /// ```
        pub const ALL: &[LossDefault] = &[$($name),*];
    };
}

losses! {
    /// Sharp-edged entrance flush with a wall, from a large tank.
    ENTRANCE_FLUSH = "sharp-edged flush entrance", 0.5, 0.5 to 0.57,
        Some(CRANE_TP410), Read,
        "square edge, large tank; 0.5 by Idelchik and Crane, 0.51 by Miller, 0.57 by Rennels & Hudson";
    /// Straight-cut pipe end that stands free in the water: the usual foot of a riser.
    ENTRANCE_REENTRANT = "re-entrant (inward projecting) entrance", 0.78, 0.43 to 1.03,
        Some(CRANE_TP410), Read,
        "Crane, for any wall; others let it fall with wall over bore t/D: 0.87 to 1.03 at 0.005, 0.62 to 0.78 at 0.02, 0.43 to 0.57 at 0.05 (Harris, Idelchik, Miller, Rennels & Hudson)";
    /// Entrance rounded to a tenth of the bore.
    ENTRANCE_ROUNDED = "rounded entrance", 0.09, 0.04 to 0.203,
        Some(CRANE_TP410), Read,
        "r/D = 0.1 by Crane; 0.113 by Idelchik and 0.203 by Rennels & Hudson at the same radius; 0.04 from r/D = 0.15 on (Crane, from memory)";
    /// Free pipe end cut at 45 degrees, a foot of common practice. No source for its loss was found.
    ENTRANCE_CUT_45 = "foot cut at 45 degrees (common practice)", 0.75, 0.5 to 1.0,
        None, Own,
        "common practice, no source: the middle of the bracket from flush (0.5) to thin re-entrant (1.0)";
    /// Short 90 degree elbow with solvent-weld sockets.
    ELBOW_SOCKET = "90 degree elbow, short, solvent-weld socket", 0.94, 0.34 to 1.2,
        Some(RENNELS_HUDSON_2012), Read,
        "smooth bend of r/D = 0.5, f = 0.02; down to r/D = 1, up to a sharp mitre";
    /// Standard threaded 90 degree elbow.
    ELBOW_THREADED = "90 degree elbow, standard, threaded", 0.61, 0.51 to 0.81,
        Some(HOOPER_1981), Read,
        "K = 800/Re + 0.4 (1 + 1 in/D) at Re = 1e5 and 2 in; 4 in to 1 in";
    /// Long-radius 90 degree elbow.
    ELBOW_LONG_RADIUS = "90 degree elbow, long radius", 0.31, 0.26 to 0.41,
        Some(HOOPER_1981), Read,
        "r/D = 1.5, K = 800/Re + 0.2 (1 + 1 in/D) at Re = 1e5 and 2 in; 4 in to 1 in";
    /// Sharp 90 degree mitre: an upper bound for a tight socket elbow.
    ELBOW_MITRE = "90 degree mitre", 1.2, 1.2 to 1.2,
        Some(RENNELS_HUDSON_2012), Read,
        "one source at hand; upper bound for a tight socket elbow";
    /// Tee used as an elbow: in by the run, out by the branch.
    TEE_BRANCH = "tee used as elbow", 1.06, 0.88 to 1.41,
        Some(HOOPER_1981), Read,
        "screwed, K = 500/Re + 0.7 (1 + 1 in/D) at Re = 1e5 and 2 in; 4 in to 1 in";
    /// Submerged end of a pipe in a large tank. Not to be charged on this library's riser.
    EXIT_TO_TANK = "exit into a tank", 1.0, 1.0 to 1.0,
        Some(BELL_FLUIDS), Read,
        "the velocity head itself; the riser loses it through its momentum term already, so it is not charged there again";
    /// The air injector. Open tubes and rings block some of the bore: give their loss if they do.
    INJECTOR = "air injector", 0.0, 0.0 to 0.0,
        None, Own,
        "no loss assumed, as for holes in the wall or an outer jacket; an open tube in the bore blocks some area, and its loss must be given";
}

/// Roughness of PVC pipe.
///
/// ```
/// use risewater::pipe::losses;
/// use risewater::units::micrometer;
///
/// assert_eq!(format!("{:.1}", losses::PVC_ROUGHNESS.value.get::<micrometer>()), "1.5");
/// ```
pub const PVC_ROUGHNESS: LossDefault<Length> = LossDefault {
    name: "roughness of PVC",
    value: base(1.5e-6),
    low: base(1.5e-6),
    high: base(7e-6),
    reference: None,
    trust: Trust::Memory,
    note: "0.0015 mm for drawn tubing and PVC in handbook tables, up to 0.007 mm in use; fouled pipe is far rougher",
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_default_lies_in_its_spread() {
        for loss in ALL {
            assert!(
                loss.low <= loss.value && loss.value <= loss.high,
                "{}",
                loss.name
            );
        }
    }

    #[test]
    fn what_has_no_source_is_said_to_be_ours() {
        for loss in ALL {
            assert_eq!(
                loss.reference.is_none(),
                loss.trust == Trust::Own,
                "{}",
                loss.name
            );
        }
    }
}
