//! What the slopes at the solution say: covariance, and whether there is a solution at all.

use nalgebra::DMatrix;

/// Largest condition number of the slopes, each parameter's scaled to length one, that is inverted.
/// Rounding and the flow solver leave slopes some 1e-5 of noise.
const CONDITION: f64 = 1e4;

/// (JᵀJ)⁻¹ of weighted slopes, in rows; the parameter to blame when there is none.
pub(crate) fn covariance(jacobian: &DMatrix<f64>) -> Result<Vec<Vec<f64>>, usize> {
    if jacobian.ncols() == 0 {
        return Ok(Vec::new());
    }
    let norms: Vec<f64> = jacobian.column_iter().map(|column| column.norm()).collect();
    if let Some(n) = norms.iter().position(|norm| !norm.is_normal()) {
        return Err(n);
    }
    let mut scaled = jacobian.clone();
    for (n, mut column) in scaled.column_iter_mut().enumerate() {
        column /= norms[n];
    }
    let svd = scaled.clone().svd(false, true);
    let Some(v_t) = svd.v_t else { return Err(0) };
    let (largest, smallest) = (svd.singular_values.max(), svd.singular_values.min());
    if largest > CONDITION * smallest {
        // The parameter that the weakest direction is mostly made of.
        let weakest = svd.singular_values.imin();
        return Err(v_t.row(weakest).transpose().iamax());
    }
    // (JᵀJ)⁻¹ = V σ⁻² Vᵀ of the scaled slopes
    let p = norms.len();
    let inverse = |i: usize, j: usize| {
        let terms =
            (0..v_t.nrows()).map(|k| v_t[(k, i)] * v_t[(k, j)] / svd.singular_values[k].powi(2));
        terms.sum::<f64>()
    };
    Ok((0..p)
        .map(|i| {
            (0..p)
                .map(|j| inverse(i, j) / (norms[i] * norms[j]))
                .collect()
        })
        .collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A constant fitted to three points: the variance is a third.
    #[test]
    fn a_mean() {
        let found = covariance(&DMatrix::from_row_slice(3, 1, &[1.0, 1.0, 1.0])).unwrap();
        assert!((found[0][0] - 1.0 / 3.0).abs() < 1e-15);
    }

    /// A line through x = −1, 0, 1: variances 1/3 and 1/2.
    #[test]
    fn a_line() {
        let slopes = [1.0, -1.0, 1.0, 0.0, 1.0, 1.0];
        let found = covariance(&DMatrix::from_row_slice(3, 2, &slopes)).unwrap();
        assert!((found[1][1] - 0.5).abs() < 1e-14);
        assert!(found[0][1].abs() < 1e-14);
    }

    #[test]
    fn slopes_that_are_multiples_have_no_solution() {
        let slopes = [1.0, 2.0, 2.0, 4.0, 3.0, 6.0];
        assert!(covariance(&DMatrix::from_row_slice(3, 2, &slopes)).is_err());
        assert_eq!(
            covariance(&DMatrix::from_row_slice(2, 2, &[1.0, 0.0, 2.0, 0.0])).unwrap_err(),
            1
        );
    }
}
