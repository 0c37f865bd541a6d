//! Points and settings left out, without fitting again.

use nalgebra::{DMatrix, DVector};

/// A fit at its solution, as far as leaving out needs it.
///
/// ```text
/// Q = V⁻¹ − V⁻¹ J (JᵀV⁻¹J + P⁻¹)⁻¹ JᵀV⁻¹     e_B left out = (Q_BB)⁻¹ (Q e₀)_B
/// ```
///
/// for a block B of points, which the others predict, parameters and setting errors both, with e₀ the errors
/// where the parameters are expected; at a solution Q e₀ is V⁻¹e
/// ([Sundararajan & Keerthi (2001)](crate::references::SUNDARARAJAN_KEERTHI_2001);
/// [Rasmussen & Williams (2006)](crate::references::RASMUSSEN_WILLIAMS_2006), eq. 5.12).
pub(super) struct LeftOut {
    /// Q e₀.
    pub pull: DVector<f64>,
    /// Q.
    pub q: DMatrix<f64>,
}

impl LeftOut {
    /// From V⁻¹, the errors e₀, the slopes ∂e/∂x and the covariance of the parameters.
    pub fn of(
        inverse: &DMatrix<f64>,
        errors: &DVector<f64>,
        slopes: &DMatrix<f64>,
        covariance: &[Vec<f64>],
    ) -> Self {
        let p = covariance.len();
        let v_j = inverse * slopes;
        let covariance = DMatrix::from_fn(p, p, |i, j| covariance[i][j]);
        let q = inverse - &v_j * covariance * v_j.transpose();
        Self {
            pull: &q * errors,
            q,
        }
    }

    /// The errors of a block predicted by the rest; none when the rest does not determine them.
    pub fn block(&self, members: &[usize]) -> Option<Vec<f64>> {
        let n = members.len();
        let q = DMatrix::from_fn(n, n, |i, j| self.q[(members[i], members[j])]);
        let pull = DVector::from_iterator(n, members.iter().map(|m| self.pull[*m]));
        let left_out = q.cholesky()?.solve(&pull);
        let sound = left_out.iter().all(|e| e.is_finite());
        sound.then(|| left_out.iter().copied().collect())
    }

    /// rms over blocks that make up all points.
    pub fn rms(&self, blocks: &[Vec<usize>]) -> Option<f64> {
        let mut sum = 0.0;
        for block in blocks {
            sum += self.block(block)?.iter().map(|e| e * e).sum::<f64>();
        }
        Some((sum / self.pull.len() as f64).sqrt())
    }
}
