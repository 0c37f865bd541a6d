//! Loss coefficients of fittings in lines that carry air or water alone, falling with Reynolds number and size.
//!
//! ```text
//! K = K₁/Re + K∞ (1 + 1 in/D)                          Hooper: D the bore
//! K = K₁/Re + K_i (1 + K_d/(N/1 in)^0.3)               Darby: N the nominal size
//! Δp = K ρ V²/2
//! ```
//!
//! Hooper's method is the default: it reads the true bore, so it serves metric pipe as well, and covers every
//! fitting of the list. Darby's needs the nominal size in inches. At 2 in and Re = 1e5 the two agree within 5 %
//! for bent elbows; Darby gives 11 % more for a threaded tee used as elbow, and 2.6 times as much for its run.
//!
//! Inlets and ends are those of [`losses`], the same at every Reynolds number; a change of bore
//! has its own functions in [`bore_change`](super::bore_change).
//!
//! # Validity
//! [`REYNOLDS`] and [`BORE`]: what is computed. Single-phase flow only; neither source gives a range in what
//! reached us.
//!
//! # References
//! [Hooper (1981)](crate::references::HOOPER_1981) and [Silverberg & Darby
//! (1999)](crate::references::DARBY_1999), both by way of [fluids](crate::references::BELL_FLUIDS).

use strum::VariantArray;

use super::BORE;
use super::churchill_1977::REYNOLDS;
use super::losses::{self, LossDefault};
use crate::error::{Error, Input, from_name};
use crate::references::{BELL_FLUIDS, HOOPER_1981, Reference, Trust};
use crate::units::{Length, Ratio, inch, millimeter, ratio};

/// Darby's three constants of a fitting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreeK {
    /// K₁: K Re in slow flow.
    pub k_1: f64,
    /// K_i: K in fast flow, in a very wide pipe.
    pub k_i: f64,
    /// K_d, with the nominal size in inches.
    pub k_d: f64,
}

impl ThreeK {
    /// The loss coefficient, on the velocity head in the pipe.
    ///
    /// ```text
    /// K = K₁/Re + K_i (1 + K_d/(N/1 in)^0.3)
    /// ```
    ///
    /// `nominal_size` is the pipe's size by name, such as 2 in, not its bore.
    ///
    /// # Errors
    /// Outside [`REYNOLDS`] or [`BORE`].
    ///
    /// # Examples
    /// ```
    /// use risewater::pipe::fittings::Fitting;
    /// use risewater::units::{Length, Ratio, inch, ratio};
    ///
    /// // An independent evaluation gives 0.60286134 at 2 in and Re = 1e5.
    /// let elbow = Fitting::Elbow90Threaded.three_k().expect("Darby has it");
    /// let loss = elbow.loss(Ratio::new::<ratio>(1e5), Length::new::<inch>(2.0))?;
    /// assert_eq!(format!("{:.4}", loss.get::<ratio>()), "0.6029");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// [Silverberg & Darby (1999)](crate::references::DARBY_1999).
    pub fn loss(self, reynolds: Ratio, nominal_size: Length) -> Result<Ratio, Error> {
        let reynolds = REYNOLDS.check(Input::ReynoldsNumber, reynolds.get::<ratio>())?;
        BORE.check(Input::NominalSize, nominal_size.get::<millimeter>())?;
        let nominal_in = nominal_size.get::<inch>();
        // K = K₁/Re + K_i (1 + K_d/(N/1 in)^0.3)
        Ok(Ratio::new::<ratio>(
            self.k_1 / reynolds + self.k_i * (1.0 + self.k_d / nominal_in.powf(0.3)),
        ))
    }
}

/// What a fitting's loss follows.
enum Law {
    Hooper { k_1: f64, k_infinity: f64 },
    Constant(LossDefault),
}

const fn two_k(k_1: f64, k_infinity: f64) -> Law {
    Law::Hooper { k_1, k_infinity }
}

const fn three_k(k_1: f64, k_i: f64, k_d: f64) -> ThreeK {
    ThreeK { k_1, k_i, k_d }
}

macro_rules! fittings {
    ($($variant:ident = $name:literal, $title:literal, $trust:ident, $law:expr, $darby:expr;)*) => {
        /// A fitting.
        ///
        /// ```
        /// use risewater::pipe::fittings::Fitting;
        ///
        /// let fitting: Fitting = "elbow_90_threaded".parse()?;
        /// assert_eq!(fitting, Fitting::Elbow90Threaded);
        /// assert_eq!(
        ///     "elbow_90_treaded".parse::<Fitting>().unwrap_err().to_string(),
        ///     "there is no fitting named \"elbow_90_treaded\"; did you mean \"elbow_90_threaded\"?"
        /// );
        /// # Ok::<(), risewater::Error>(())
        /// ```
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[derive(strum::Display, strum::IntoStaticStr, strum::VariantArray)]
        #[non_exhaustive]
        pub enum Fitting {
            $(#[doc = $title] #[strum(serialize = $name)] $variant,)*
        }

        impl Fitting {
            /// All of them.
            pub const ALL: &[Self] = Self::VARIANTS;

            /// The name in design files, as [`FromStr`](std::str::FromStr) reads it.
            #[must_use]
            pub fn name(self) -> &'static str {
                self.into()
            }

            /// The name in words.
            #[must_use]
            pub fn title(self) -> &'static str {
                match self { $(Self::$variant => $title,)* }
            }

            /// How the numbers behind [`Fitting::loss`] reached us.
            #[must_use]
            pub fn trust(self) -> Trust {
                match self { $(Self::$variant => Trust::$trust,)* }
            }

            fn law(self) -> Law {
                match self { $(Self::$variant => $law,)* }
            }

            /// Darby's constants; none where he gives none. All were read in a transcription.
            #[must_use]
            pub fn three_k(self) -> Option<ThreeK> {
                match self { $(Self::$variant => $darby,)* }
            }
        }
    };
}

// Hooper's table gives one line for gate, ball and plug valves by how much they narrow the bore (from memory);
// the transcription has kept one valve of each line. Flanged stands for flanged or welded.
fittings! {
    Elbow90Threaded = "elbow_90_threaded", "90 degree elbow, standard, threaded", Read,
        two_k(800.0, 0.4), Some(three_k(800.0, 0.14, 4.0));
    Elbow90Flanged = "elbow_90_flanged", "90 degree elbow, standard, flanged or welded", Read,
        two_k(800.0, 0.25), Some(three_k(800.0, 0.091, 4.0));
    Elbow90LongRadius = "elbow_90_long_radius", "90 degree elbow, long radius (r/D = 1.5)", Read,
        two_k(800.0, 0.2), Some(three_k(800.0, 0.071, 4.2));
    Elbow90Mitred = "elbow_90_mitred", "90 degree elbow, mitred, one weld", Read,
        two_k(1000.0, 1.15), Some(three_k(1000.0, 0.27, 4.0));
    Elbow45 = "elbow_45", "45 degree elbow, standard", Read,
        two_k(500.0, 0.2), Some(three_k(500.0, 0.071, 4.2));
    Elbow45LongRadius = "elbow_45_long_radius", "45 degree elbow, long radius (r/D = 1.5)", Read,
        two_k(500.0, 0.15), Some(three_k(500.0, 0.052, 4.0));
    TeeBranchThreaded = "tee_branch_threaded", "tee used as elbow, threaded", Read,
        two_k(500.0, 0.7), Some(three_k(500.0, 0.274, 4.0));
    TeeBranchLongRadius = "tee_branch_long_radius", "tee used as elbow, long radius, threaded", Read,
        two_k(800.0, 0.4), Some(three_k(800.0, 0.14, 4.0));
    TeeBranchFlanged = "tee_branch_flanged", "tee used as elbow, flanged or welded", Read,
        two_k(800.0, 0.8), Some(three_k(800.0, 0.28, 4.0));
    TeeBranchStubIn = "tee_branch_stub_in", "branch stubbed into the pipe, used as elbow", Read,
        two_k(1000.0, 1.0), Some(three_k(1000.0, 0.34, 4.0));
    TeeRunThreaded = "tee_run_threaded", "straight through a tee, threaded", Read,
        two_k(200.0, 0.1), Some(three_k(200.0, 0.091, 4.0));
    TeeRunFlanged = "tee_run_flanged", "straight through a tee, flanged or welded", Read,
        two_k(150.0, 0.05), Some(three_k(150.0, 0.05, 4.0));
    TeeRunStubIn = "tee_run_stub_in", "straight past a branch stubbed into the pipe", Read,
        two_k(100.0, 0.0), Some(three_k(100.0, 0.0, 0.0));
    GateValve = "gate_valve", "gate valve, open, full bore", Read,
        two_k(300.0, 0.1), Some(three_k(300.0, 0.037, 3.9));
    BallValve = "ball_valve", "ball valve, open, full bore", Memory,
        two_k(300.0, 0.1), Some(three_k(300.0, 0.017, 3.5));
    BallValveReduced = "ball_valve_reduced", "ball valve, open, bore reduced to 0.9", Read,
        two_k(500.0, 0.15), None;
    GlobeValve = "globe_valve", "globe valve, open, standard", Read,
        two_k(1500.0, 4.0), Some(three_k(1500.0, 1.7, 3.6));
    AngleValve = "angle_valve", "angle or Y globe valve, open", Read,
        two_k(1000.0, 2.0), None;
    DiaphragmValve = "diaphragm_valve", "diaphragm valve, open, dam type", Read,
        two_k(1000.0, 2.0), Some(three_k(1000.0, 0.69, 4.9));
    ButterflyValve = "butterfly_valve", "butterfly valve, open", Read,
        two_k(800.0, 0.25), None;
    CheckSwing = "check_swing", "check valve, swing", Read,
        two_k(1500.0, 1.5), Some(three_k(1500.0, 0.46, 4.0));
    CheckLift = "check_lift", "check valve, lift", Read,
        two_k(2000.0, 10.0), Some(three_k(2000.0, 2.85, 3.8));
    CheckTiltingDisc = "check_tilting_disc", "check valve, tilting disc", Read,
        two_k(1000.0, 0.5), None;
    EntranceFlush = "entrance_flush", "sharp-edged flush entrance", Read,
        Law::Constant(losses::ENTRANCE_FLUSH), None;
    EntranceReentrant = "entrance_reentrant", "re-entrant (inward projecting) entrance", Read,
        Law::Constant(losses::ENTRANCE_REENTRANT), None;
    EntranceRounded = "entrance_rounded", "rounded entrance", Read,
        Law::Constant(losses::ENTRANCE_ROUNDED), None;
    Exit = "exit", "exit into a tank or the open", Read,
        Law::Constant(losses::EXIT_TO_TANK), None;
}

impl Fitting {
    /// The loss coefficient by Hooper's method, or the constant of an inlet or end, on the velocity head in
    /// the bore.
    ///
    /// ```text
    /// K = K₁/Re + K∞ (1 + 1 in/D)
    /// ```
    ///
    /// # Errors
    /// Outside [`REYNOLDS`] or [`BORE`].
    ///
    /// # Examples
    /// ```
    /// use risewater::pipe::fittings::Fitting;
    /// use risewater::units::{Length, Ratio, inch, ratio};
    ///
    /// // 800/1e5 + 0.4 (1 + 1/2), by hand.
    /// let loss = Fitting::Elbow90Threaded.loss(Ratio::new::<ratio>(1e5), Length::new::<inch>(2.0))?;
    /// assert_eq!(format!("{:.3}", loss.get::<ratio>()), "0.608");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// [`Fitting::reference`].
    pub fn loss(self, reynolds: Ratio, bore: Length) -> Result<Ratio, Error> {
        let reynolds = REYNOLDS.check(Input::ReynoldsNumber, reynolds.get::<ratio>())?;
        BORE.check(Input::FittingBore, bore.get::<millimeter>())?;
        Ok(Ratio::new::<ratio>(
            self.coefficient(reynolds, bore.get::<inch>()),
        ))
    }

    /// The same on checked numbers; infinite at Re = 0, which callers must exclude.
    pub(crate) fn coefficient(self, reynolds: f64, bore_in: f64) -> f64 {
        match self.law() {
            // K = K₁/Re + K∞ (1 + 1 in/D)
            Law::Hooper { k_1, k_infinity } => k_1 / reynolds + k_infinity * (1.0 + 1.0 / bore_in),
            Law::Constant(loss) => loss.value.get::<ratio>(),
        }
    }

    /// The source of [`Fitting::loss`].
    #[must_use]
    pub fn reference(self) -> Reference {
        match self.law() {
            Law::Hooper { .. } => HOOPER_1981,
            Law::Constant(loss) => loss.reference.unwrap_or(BELL_FLUIDS),
        }
    }
}

from_name!(Fitting);
