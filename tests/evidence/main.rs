//! The law of error against the measurements: its constants found again, laboratories left out, errors and shares
//! inside its intervals, and risers of a hatchery's size.
//!
//! Covariance and conditioning are written out here; of the law the library gives the slopes alone.

mod constants;
mod hatchery;
mod intervals;
#[path = "../table/mod.rs"]
mod table;

use nalgebra::{Cholesky, DMatrix, DVector, Dyn};
use risewater::Model;
use risewater::published::Rig;
use risewater::uncertainty::{Cause, Doubt, ReadPoint};

/// The three constants that the rigs tell.
#[derive(Debug, Clone, Copy)]
struct Constants {
    reach_in_depth: f64,
    reach_in_air: f64,
    shape: f64,
}

/// As the law has them: ℓ_S, ℓ_A and s₁.
const OWN: Constants = Constants {
    reach_in_depth: 0.12,
    reach_in_air: 0.57,
    shape: 0.15,
};
/// s₀, a prior.
const RIG: f64 = 0.13;
/// σ of the developing length, the wide pipe and the entrance, priors.
const CAUSES: [(Cause, f64); 3] = [
    (Cause::DevelopingLength, 1.0),
    (Cause::WidePipe, 0.5),
    (Cause::Entrance, 1.0),
];

impl Constants {
    /// F_a F_b [s₀² + s₁² k_S k_A + Σ σ² g_a g_b]
    fn covariance(self, a: &Doubt, b: &Doubt) -> f64 {
        let depth = (a.submergence_ratio() - b.submergence_ratio()) / self.reach_in_depth;
        let air = (a.ln_froude() - b.ln_froude()) / self.reach_in_air;
        let mut sum =
            RIG.powi(2) + self.shape.powi(2) * (-0.5 * (depth.powi(2) + air.powi(2))).exp();
        for (source, sigma) in CAUSES {
            sum += sigma.powi(2) * a.slope(source) * b.slope(source);
        }
        a.stretch() * b.stretch() * sum
    }

    /// k + U of readings with one noise for all.
    fn factor(self, readings: &[ReadPoint], noise: f64) -> Cholesky<f64, Dyn> {
        let n = readings.len();
        let k = DMatrix::from_fn(n, n, |i, j| {
            let own = if i == j { noise.powi(2) } else { 0.0 };
            self.covariance(&readings[i].doubt, &readings[j].doubt) + own
        });
        Cholesky::new(k).unwrap()
    }
}

fn measured(readings: &[ReadPoint]) -> DVector<f64> {
    DVector::from_iterator(readings.len(), readings.iter().map(|reading| reading.off))
}

/// Each rig's readings, by series.
fn rigs() -> Vec<(&'static Rig, Vec<Vec<ReadPoint>>)> {
    let series = |rig: &'static Rig| (rig, rig.series(Model::default()).unwrap());
    Rig::all().iter().map(series).collect()
}
