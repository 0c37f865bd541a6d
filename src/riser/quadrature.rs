//! Gauss-Lobatto rules that also differentiate.
//!
//! The height integral needs dM/dp beside M. Differentiating the polynomial through the nodes costs
//! a few multiplications and is as accurate as the quadrature itself, so that no closure has to know
//! its own derivative. The ends of the interval are nodes: they are known anyway.

use std::sync::LazyLock;

/// Most nodes of a rule.
pub(super) const MOST: usize = 14;

/// Nodes and weights on [−1, 1], and the differentiation matrix on the nodes.
#[derive(Debug)]
pub(super) struct Rule {
    /// Number of nodes, both ends among them.
    pub nodes: usize,
    /// Nodes, from −1 to 1.
    pub x: [f64; MOST],
    /// Weights.
    pub w: [f64; MOST],
    /// Row i differentiates at node i.
    pub d: [[f64; MOST]; MOST],
}

/// The rules in use, coarse to fine.
pub(super) static RULES: LazyLock<[Rule; 6]> =
    LazyLock::new(|| [4, 5, 6, 8, 10, 14].map(Rule::new));

impl Rule {
    fn new(nodes: usize) -> Self {
        let degree = nodes - 1;
        let mut x = [0.0; MOST];
        let mut w = [0.0; MOST];
        for i in 0..nodes {
            // The ends, and between them the roots of P' by Newton's method from those of
            // Chebyshev's polynomial; −cos keeps x ascending.
            let mut z = -(std::f64::consts::PI * i as f64 / degree as f64).cos();
            if i > 0 && i < degree {
                for _ in 0..8 {
                    let (value, slope) = legendre(degree, z);
                    // (1 − z²) P″ = 2 z P' − n (n + 1) P
                    let bend =
                        (2.0 * z * slope - (degree * (degree + 1)) as f64 * value) / (1.0 - z * z);
                    z -= slope / bend;
                }
            }
            // w = 2/(n (n + 1) P²)
            let (value, _) = legendre(degree, z);
            x[i] = z;
            w[i] = 2.0 / ((degree * (degree + 1)) as f64 * value * value);
        }
        let mut d = [[0.0; MOST]; MOST];
        for (i, row) in d.iter_mut().enumerate().take(nodes) {
            *row = differentiation_row(&x[..nodes], i);
        }
        Self { nodes, x, w, d }
    }
}

/// P_n(z) and its derivative, by the three-term recurrence; the derivative not at the ends.
fn legendre(n: usize, z: f64) -> (f64, f64) {
    let (mut before, mut value) = (1.0, z);
    for k in 2..=n {
        let k = k as f64;
        (before, value) = (
            value,
            ((2.0 * k - 1.0) * z * value - (k - 1.0) * before) / k,
        );
    }
    (value, n as f64 * (z * value - before) / (z * z - 1.0))
}

/// Weights that give the derivative at point `i` of the polynomial through all points
/// (barycentric form: d_ij = (w_j/w_i)/(x_i − x_j), rows sum to zero).
fn differentiation_row(points: &[f64], i: usize) -> [f64; MOST] {
    let weight = |k: usize| {
        points
            .iter()
            .enumerate()
            .filter(|(j, _)| *j != k)
            .map(|(_, p)| points[k] - p)
            .product::<f64>()
            .recip()
    };
    let mut row = [0.0; MOST];
    for j in (0..points.len()).filter(|j| *j != i) {
        row[j] = weight(j) / weight(i) / (points[i] - points[j]);
        row[i] -= row[j];
    }
    row
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_integrate_and_differentiate_polynomials() {
        // A rule of n nodes, ends included, is exact to degree 2n − 3; its derivative to n − 1.
        for rule in RULES.iter() {
            let n = rule.nodes;
            let degree = i32::try_from(2 * n - 4).unwrap();
            let sum: f64 = (0..n).map(|i| rule.w[i] * rule.x[i].powi(degree)).sum();
            assert!(
                (sum - 2.0 / f64::from(degree + 1)).abs() < 1e-14,
                "{n} nodes: {sum}"
            );
            let degree = i32::try_from(n - 1).unwrap();
            for i in 0..n {
                let slope: f64 = (0..n).map(|k| rule.d[i][k] * rule.x[k].powi(degree)).sum();
                assert!((slope - f64::from(degree) * rule.x[i].powi(degree - 1)).abs() < 1e-10);
            }
        }
    }
}
