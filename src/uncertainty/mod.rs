//! How far a predicted water flow can be trusted, before and after a bench trial: one law of error.
//!
//! The logarithm of true over predicted flow of a riser is taken as normal with mean zero. Between two
//! operating points a, b of one rig its covariance is
//!
//! ```text
//! k(a,b) = F_a F_b [s₀² + s₁(a) s₁(b) k_S k_A + Σ_i σ_i² g_i(a) g_i(b)]
//! k_S = exp(−(Sr_a − Sr_b)²/(2 ℓ_S²))        k_A = exp(−(ln Fr_a − ln Fr_b)²/(2 ℓ_A²))
//! ```
//!
//! with Sr the submergence ratio and Fr = Q_a/(A √(gD)), the air dry at 20 °C and 101.325 kPa.
//!
//! | term | what it is | constant |
//! |---|---|---|
//! | s₀ | the rig: all of its points are off together | 0.13 |
//! | | the same with an injector of a kind that no rig had | √(0.13² + 0.14²) |
//! | s₁ | the shape: the error changes with depth and air | 0.15; ℓ_S = 0.12, ℓ_A = 0.57 |
//! | | the same with the slip closure [`smith_drift`](crate::slip::smith_drift), below Sr = 0.4 | to 0.30 at Sr = 0.3 in a straight line, and 0.30 below |
//! | developing length | g = ln[q(ℓ)/q(ℓ/2)] | σ = 1 |
//! | wide pipe | g = ln[q(8 bores)/q(ℓ)] in bores above 25 mm, not below −2 | σ = 0.5 |
//! | entrance | g = change of ln q from max(K_in − 0.5, 0) up to that + 0.5, over 0.5 | σ = 1 |
//! | outlet | g = ln[q(1.3 × head)/q(head)] where an outlet has a head | σ = 1 |
//!
//! F is 1, times 1.4 below 40 bores of length, √(D/100 mm) above a bore of 100 mm, 1.2 in water of more than
//! 5 g/kg of salt, and 1.4 where ℓ is more than half of the riser: no rig behind the law is like that.
//!
//! s₁, ℓ_S and ℓ_A are the project's own fit, by maximum marginal likelihood on published rigs at submergence
//! ratios of 0.4 and more; the 0.30 is its own too, from one riser (0.2 to 0.4). The other constants are the project's own
//! priors, which those rigs hardly tell.
//! The form (a Gaussian process beside linearised parameters) is that of
//! [Kennedy & O'Hagan (2001)](crate::references::KENNEDY_OHAGAN_2001); see
//! [Rasmussen & Williams (2006)](crate::references::RASMUSSEN_WILLIAMS_2006), chapter 2.
//!
//! The 0.14 of an injector is our own choice too, by the size of what little is known: 13 % less water with one ring of
//! holes than with two in a [posted test](crate::references::AQUARIUM_RINGS), and 823 kg/h where another injector gave 928 in
//! [Kassab and others (2022)](crate::references::KASSAB_2022). It is wider for an injector that is said and unlike; where none
//! is said, nothing changes.
//!
//! One rig has one bore, foot and outlet, and a length within 15 %, whatever the depth and lift; identical lifts
//! are one rig. Measured points of it are conditioned on in closed form, y = ln(measured/predicted):
//!
//! ```text
//! mean = k*ᵀ (k + U)⁻¹ y            variance = k** − k*ᵀ (k + U)⁻¹ k*
//! ```
//!
//! with U the covariance of the readings. Nothing is iterated and nothing chosen: the calibrated flow is the
//! predicted one times e^mean, its interval that times e^(± z sd) (z = 1.2816 for 80 %). Without points the mean
//! is zero and the interval the prior's. [`ErrorLaw`] holds level and trial, [`Predictor`] answers for one riser.
//!
//! Where the flow is below 20 % of the peak the slopes g grow without bound. There the ends are solved: each
//! source at z of its standard deviations (times its width after over before a trial), the changes of ln q
//! combined by root of squares on each side; a side on which nothing flows ends at zero. Between 20 and 30 % of
//! the peak one goes over into the other. An upper end of
//! more than three times the flow is held against what flows with every source at its best (no developing length,
//! entrance loss or head) times e^(z sd) of rig and shape. Below a submergence ratio of 0.4 the law holds with
//! [`smith_drift`](crate::slip::smith_drift) alone; with another closure no interval is told there.

mod calibration;
mod doubt;
mod interval;
mod law;
mod posterior;
mod predictor;
mod record;
pub(crate) mod sensitivity;
mod taught;

pub use crate::caution::{Difference, Stretch};
pub(crate) use calibration::same_rig;
pub use calibration::{Calibration, MeasuredPoint, POINTS, SharedError};
pub use doubt::{Cause, Doubt};
pub use interval::{Basis, Interval};
pub use law::ErrorLaw;
pub use posterior::{Expected, NOISE, Points, ReadPoint};
pub(crate) use predictor::{BY_SLOPES, READING_NOISE};
pub use predictor::{Prediction, Predictor, Wanted};
pub use taught::{Taught, Term};
