//! Outlets: what stands between the top of the column and the free water beyond.

use std::fmt;
use std::str::FromStr;

use strum::{VariantArray, VariantNames};

use crate::error::{Error, Input, NameKind, among, range};
use crate::units::{Length, Ratio, VolumeRate, cubic_meter_per_second, meter, millimeter, ratio};

range!(LOSS_COEFFICIENT, 0 to 100, "Loss coefficients that the library computes.");
range!(OUTLET_HEIGHT, 0 to 100 "m", "Outlet heads and depths that the library computes.");
range!(OUTLET_BORE, 1 to 5000 "mm", "Bores of a horizontal outlet pipe that the library computes.");

/// How the head at the brink of a part-full outlet is read; the two differ by some 6 to 10 % of flow
/// in short risers of low lift (our own computation).
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Default,
    strum::Display,
    strum::IntoStaticStr,
    strum::VariantArray,
)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum BrinkHead {
    /// As a height of the mixture in the riser.
    #[default]
    Mixture,
    /// As a height of clear water.
    ClearWater,
}

impl BrinkHead {
    /// The name in design files.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.into()
    }
}

impl FromStr for BrinkHead {
    type Err = Error;

    fn from_str(name: &str) -> Result<Self, Error> {
        among(NameKind::Brink, name, Self::VARIANTS, <&str>::from)
    }
}

/// The outlet of a riser.
///
/// In a short riser of low lift the outlet decides. Lift is counted from the running water level of
/// the source to the rim (plain, open top), to the invert of the horizontal pipe (elbow), or to the
/// mouth (submerged, where it is usually negative).
#[derive(Debug, Clone, Copy, PartialEq, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Outlet {
    /// No outlet head; only the loss of fittings.
    Plain {
        /// Loss coefficient K of the fittings, on the mixture's velocity head.
        loss: Ratio,
    },
    /// An elbow to a horizontal pipe that flows part-full to a free end, where the flow passes
    /// critical depth: the mixture must reach the invert plus E_c = y_c + A_c/(2T).
    Elbow {
        /// Loss coefficient K of the elbow. E_c already holds the outflow's velocity head, so only
        /// what exceeds 1 is charged.
        loss: Ratio,
        /// Bore of the horizontal pipe; none when it is the riser's own.
        bore: Option<Length>,
        /// Whether E_c counts as a height of mixture or of clear water.
        head: BrinkHead,
    },
    /// A mouth below the receiving water level.
    Submerged {
        /// Depth of the mouth below the receiving level.
        depth: Length,
        /// Loss coefficient K of fittings; the exit loss is already in the momentum of the column.
        loss: Ratio,
    },
    /// An open top that spills over its rim. No formula for the two-phase spill has a checked
    /// source, so the height is the user's own.
    OpenTop {
        /// Height above the rim that the mixture needs to spill.
        head: Length,
        /// Loss coefficient K of fittings.
        loss: Ratio,
    },
}

/// The name in words.
impl fmt::Display for Outlet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.name().replace('_', " "))
    }
}

impl Outlet {
    /// Names of the outlets in design files.
    pub const NAMES: &[&str] = Self::VARIANTS;

    /// The name in design files.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.into()
    }

    pub(super) fn kernel(&self, own_bore: Length) -> Result<Kernel, Error> {
        let k = |loss: &Ratio| LOSS_COEFFICIENT.check(Input::OutletLoss, loss.get::<ratio>());
        Ok(match self {
            Self::Plain { loss } => Kernel {
                k_out: k(loss)?,
                head: Head::None,
            },
            Self::Elbow { loss, bore, head } => {
                let pipe = PartFull::of_bore(bore.unwrap_or(own_bore))?;
                let head = match head {
                    BrinkHead::Mixture => Head::BrinkMixture(pipe, 1.0),
                    BrinkHead::ClearWater => Head::BrinkWater(pipe, 1.0),
                };
                Kernel {
                    k_out: (k(loss)? - 1.0).max(0.0),
                    head,
                }
            }
            Self::Submerged { depth, loss } => {
                let depth_m = OUTLET_HEIGHT.check(Input::OutletDepth, depth.get::<meter>())?;
                Kernel {
                    k_out: k(loss)?,
                    head: Head::Depth(depth_m),
                }
            }
            Self::OpenTop { head, loss } => {
                let head_m = OUTLET_HEIGHT.check(Input::OutletHead, head.get::<meter>())?;
                Kernel {
                    k_out: k(loss)?,
                    head: Head::Rim(head_m),
                }
            }
        })
    }
}

/// What the column solver needs of an outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Kernel {
    pub k_out: f64,
    pub head: Head,
}

impl Kernel {
    /// The same with a head so many times as high; none without a head that depends on how water leaves.
    pub(crate) fn with_head_factor(self, factor: f64) -> Option<Self> {
        let head = match self.head {
            Head::None | Head::Depth(_) => return None,
            Head::Rim(head_m) => Head::Rim(factor * head_m),
            Head::BrinkMixture(pipe, own) => Head::BrinkMixture(pipe, factor * own),
            Head::BrinkWater(pipe, own) => Head::BrinkWater(pipe, factor * own),
        };
        Some(Self { head, ..self })
    }
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Head {
    None,
    Rim(f64),
    Depth(f64),
    /// The head of a part-full pipe, times a factor.
    BrinkMixture(PartFull, f64),
    /// The same.
    BrinkWater(PartFull, f64),
}

impl Head {
    /// Whether only the mixture stands higher for it.
    pub(crate) fn is_of_mixture(&self) -> bool {
        matches!(self, Self::None | Self::Rim(_) | Self::BrinkMixture(..))
    }

    /// Height of mixture above the nominal top at a water flow, m.
    pub(crate) fn mixture_m(&self, q_m3_per_s: f64) -> f64 {
        match self {
            Self::Rim(head_m) => *head_m,
            Self::BrinkMixture(pipe, factor) => factor * pipe.head_m(q_m3_per_s),
            _ => 0.0,
        }
    }

    /// Height of clear water above the nominal top at a water flow, m.
    pub(crate) fn water_m(&self, q_m3_per_s: f64) -> f64 {
        match self {
            Self::Depth(depth_m) => *depth_m,
            Self::BrinkWater(pipe, factor) => factor * pipe.head_m(q_m3_per_s),
            _ => 0.0,
        }
    }
}

/// Critical flow at the free end of a circular pipe.
///
/// ```text
/// Q² T = g A³          E_c = y_c + A_c/(2T)
/// A = D²/8 (θ − sin θ)     T = D sin(θ/2)     y = D/2 (1 − cos(θ/2))
/// ```
///
/// with θ the angle that the wetted arc spans. The critical relation is geometry and g; see
/// [Chow (1959)](crate::references::CHOW_1959), chapter 4.
///
/// # Validity
/// Up to y_c = 0.85 D; beyond it the pipe runs full, and the head goes on as E_c at that limit plus
/// the rise of the full pipe's velocity head, so that it stays continuous and rises with the flow:
/// our own continuation, named in a caution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PartFull {
    d_m: f64,
}

/// Deepest critical depth of a part-full pipe, over its bore.
const DEEPEST: f64 = 0.85;

impl PartFull {
    fn new(d_m: f64) -> Self {
        Self { d_m }
    }

    /// A horizontal pipe of the given bore.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] when the bore is outside [`OUTLET_BORE`].
    pub fn of_bore(bore: Length) -> Result<Self, Error> {
        OUTLET_BORE.check(Input::OutletBore, bore.get::<millimeter>())?;
        Ok(Self::new(bore.get::<meter>()))
    }

    /// Specific energy at critical depth above the invert.
    ///
    /// # Examples
    /// ```
    /// use risewater::riser::PartFull;
    /// use risewater::units::{Length, VolumeRate, liter_per_minute, millimeter};
    ///
    /// // 1.85 L/s in 76 mm, from the critical relation solved apart: E_c = 67.11 mm.
    /// let pipe = PartFull::of_bore(Length::new::<millimeter>(76.0))?;
    /// let head = pipe.critical_head(VolumeRate::new::<liter_per_minute>(111.0));
    /// assert_eq!(format!("{:.2}", head.get::<millimeter>()), "67.11");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    #[must_use]
    pub fn critical_head(self, flow: VolumeRate) -> Length {
        Length::new::<meter>(self.head_m(flow.get::<cubic_meter_per_second>().max(0.0)))
    }

    /// Largest flow that runs part-full: about 0.71 √(g D⁵).
    #[must_use]
    pub fn largest_flow(self) -> VolumeRate {
        VolumeRate::new::<cubic_meter_per_second>(critical_flow(deepest_angle()) * self.scale())
    }

    /// √(g D⁵), m³/s.
    fn scale(self) -> f64 {
        (crate::units::GRAVITY_M_PER_S2 * self.d_m.powi(5)).sqrt()
    }

    pub(super) fn head_m(self, q_m3_per_s: f64) -> f64 {
        let q = q_m3_per_s / self.scale();
        let limit = critical_flow(deepest_angle());
        if q <= 0.0 {
            0.0
        } else if q <= limit {
            self.d_m * critical_energy(critical_angle(q))
        } else {
            // Velocity head of the full pipe, Q²/(2 g A²) = D q² 8/π².
            let rise = 8.0 / std::f64::consts::PI.powi(2) * (q * q - limit * limit);
            self.d_m * (critical_energy(deepest_angle()) + rise)
        }
    }
}

/// Angle of the deepest critical depth: y/D = (1 − cos(θ/2))/2.
fn deepest_angle() -> f64 {
    2.0 * (1.0 - 2.0 * DEEPEST).acos()
}

/// θ − sin θ without cancellation.
fn segment(theta: f64) -> f64 {
    if theta < 0.1 {
        let t2 = theta * theta;
        theta * t2 / 6.0 * (1.0 - t2 / 20.0 * (1.0 - t2 / 42.0))
    } else {
        theta - theta.sin()
    }
}

/// Q/√(g D⁵) at critical depth: √(A³/T) in bores.
fn critical_flow(theta: f64) -> f64 {
    ((segment(theta) / 8.0).powi(3) / (0.5 * theta).sin()).sqrt()
}

/// E_c/D.
fn critical_energy(theta: f64) -> f64 {
    0.5 * (1.0 - (0.5 * theta).cos()) + segment(theta) / (16.0 * (0.5 * theta).sin())
}

/// The angle at which the flow is critical, by Newton on logarithms from the shallow limit
/// q² = 2 θ⁸/48³. ln q is smooth and rises with ln θ, nearly as a straight line.
fn critical_angle(q: f64) -> f64 {
    let mut theta = ((48f64.powi(3) / 2.0).powf(0.125) * q.sqrt().sqrt()).min(deepest_angle());
    if theta < 1e-8 {
        // The limit itself is exact, and its powers would underflow.
        return theta;
    }
    let target = q.ln();
    for _ in 0..20 {
        let (sine, cosine) = (0.5 * theta).sin_cos();
        // d ln q/dθ = (3/2)(1 − cos θ)/(θ − sin θ) − (1/4) cot(θ/2)
        let slope = 3.0 * sine * sine / segment(theta) - 0.25 * cosine / sine;
        let step = (critical_flow(theta).ln() - target) / (theta * slope);
        theta *= (-step).exp();
        if step.abs() < 1e-13 {
            break;
        }
    }
    theta
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn critical_depth_of_the_check_value() {
        // 1.85 L/s in 76 mm: y_c 47.10 mm, A_c 2.9531e-3 m², T 73.79 mm, E_c 67.11 mm (circular
        // section, g = 9.80665 m/s²), to the digits given.
        let pipe = PartFull::new(0.076);
        let theta = critical_angle(1.85e-3 / pipe.scale());
        let (d, half) = (0.076, 0.5 * theta);
        assert!((d / 2.0 * (1.0 - half.cos()) - 47.10e-3).abs() < 0.005e-3);
        assert!((d * d / 8.0 * segment(theta) - 2.9531e-3).abs() < 0.00005e-3);
        assert!((d * half.sin() - 73.79e-3).abs() < 0.005e-3);
        assert!((pipe.head_m(1.85e-3) - 67.11e-3).abs() < 0.005e-3);
        // The part-full limit: 212 L/min at 76 mm.
        assert!((pipe.largest_flow().get::<crate::units::liter_per_minute>() - 212.0).abs() < 0.5);
    }

    #[test]
    fn the_head_is_continuous_and_rises() {
        let pipe = PartFull::new(0.1);
        let mut before = 0.0;
        for n in 1..40_000 {
            let head = pipe.head_m(f64::from(n) * 1e-6);
            assert!(
                head > before && head - before < 1e-2,
                "flow {n} mL/s: {before} to {head}"
            );
            before = head;
        }
        for flow in [5e-324, 1e-300, 1e-40, 1e-34, 1e-30] {
            assert!(
                pipe.head_m(flow) > 0.0 && pipe.head_m(10.0 * flow) > pipe.head_m(flow),
                "flow {flow:e}"
            );
        }
        let limit = pipe.largest_flow().get::<cubic_meter_per_second>();
        assert!(
            (pipe.head_m(limit * (1.0 + 1e-9)) - pipe.head_m(limit * (1.0 - 1e-9))).abs() < 1e-8
        );
    }

    #[test]
    fn a_head_so_many_times_as_high() {
        let mm = Length::new::<millimeter>;
        let loss = Ratio::new::<ratio>(0.0);
        let elbow = |head| Outlet::Elbow {
            loss,
            bore: None,
            head,
        };
        let heads = |kernel: Kernel| {
            let head = kernel.head;
            [head.mixture_m(1.85e-3), head.water_m(1.85e-3)]
        };
        let spill = Outlet::OpenTop {
            head: mm(30.0),
            loss,
        };
        for outlet in [
            spill,
            elbow(BrinkHead::Mixture),
            elbow(BrinkHead::ClearWater),
        ] {
            let own = outlet.kernel(mm(76.0)).unwrap();
            assert!(heads(own).iter().sum::<f64>() > 0.0);
            for factor in [0.0, 0.5, 4.0] {
                let scaled = own.with_head_factor(factor).unwrap();
                assert_eq!(heads(scaled), heads(own).map(|head| factor * head));
                // Of a factor once more, the product.
                let twice = scaled.with_head_factor(4.0).unwrap();
                assert_eq!(heads(twice), heads(own).map(|head| 4.0 * factor * head));
            }
        }
        let submerged = Outlet::Submerged {
            depth: mm(30.0),
            loss,
        };
        for outlet in [Outlet::Plain { loss }, submerged] {
            let own = outlet.kernel(mm(76.0)).unwrap();
            assert!(own.with_head_factor(2.0).is_none());
        }
    }
}
