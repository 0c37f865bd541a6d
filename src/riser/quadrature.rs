//! Gauss-Legendre rules that also differentiate.
//!
//! The height integral needs dM/dp beside M. Differentiating the polynomial through the nodes and
//! both ends costs a few multiplications and is as accurate as the quadrature itself, so that no
//! closure has to know its own derivative.

use std::sync::LazyLock;

/// Most nodes of a rule.
pub(super) const MOST: usize = 16;

/// Nodes and weights on (−1, 1), and the differentiation matrix on the nodes and both ends.
#[derive(Debug)]
pub(super) struct Rule {
    /// Number of nodes.
    pub nodes: usize,
    /// Nodes.
    pub x: [f64; MOST],
    /// Weights.
    pub w: [f64; MOST],
    /// Row i differentiates at node i; the columns are −1, the nodes, +1.
    pub d: [[f64; MOST + 2]; MOST],
}

/// The rules in use, coarse to fine: 4, 8 and 16 nodes.
pub(super) static RULES: LazyLock<[Rule; 3]> = LazyLock::new(|| [Rule::new(4), Rule::new(8), Rule::new(16)]);

impl Rule {
    fn new(nodes: usize) -> Self {
        let mut x = [0.0; MOST];
        let mut w = [0.0; MOST];
        for i in 0..nodes {
            // Newton on P_n from the usual start cos(π (i + 3/4)/(n + 1/2)); −cos keeps x ascending.
            let mut z = -(std::f64::consts::PI * (i as f64 + 0.75) / (nodes as f64 + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..8 {
                let (value, derivative) = legendre(nodes, z);
                z -= value / derivative;
                slope = derivative;
            }
            x[i] = z;
            w[i] = 2.0 / ((1.0 - z * z) * slope * slope);
        }
        let mut points = [0.0; MOST + 2];
        points[0] = -1.0;
        points[1..=nodes].copy_from_slice(&x[..nodes]);
        points[nodes + 1] = 1.0;
        let points = &points[..nodes + 2];
        let mut d = [[0.0; MOST + 2]; MOST];
        for (i, row) in d.iter_mut().enumerate().take(nodes) {
            *row = differentiation_row(points, i + 1);
        }
        Self { nodes, x, w, d }
    }
}

/// P_n(z) and its derivative, by the three-term recurrence.
fn legendre(n: usize, z: f64) -> (f64, f64) {
    let (mut before, mut value) = (1.0, z);
    for k in 2..=n {
        let k = k as f64;
        (before, value) = (value, ((2.0 * k - 1.0) * z * value - (k - 1.0) * before) / k);
    }
    (value, n as f64 * (z * value - before) / (z * z - 1.0))
}

/// Weights that give the derivative at point `i` of the polynomial through all points
/// (barycentric form: d_ij = (w_j/w_i)/(x_i − x_j), rows sum to zero).
fn differentiation_row(points: &[f64], i: usize) -> [f64; MOST + 2] {
    let weight = |k: usize| {
        points.iter().enumerate().filter(|(j, _)| *j != k).map(|(_, p)| points[k] - p).product::<f64>().recip()
    };
    let mut row = [0.0; MOST + 2];
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
        // A rule of n nodes is exact to degree 2n − 1; its derivative through n + 2 points to n + 1.
        for rule in RULES.iter() {
            let n = rule.nodes;
            let degree = i32::try_from(2 * n - 2).unwrap();
            let sum: f64 = (0..n).map(|i| rule.w[i] * rule.x[i].powi(degree)).sum();
            assert!((sum - 2.0 / f64::from(degree + 1)).abs() < 1e-14, "{n} nodes: {sum}");
            let degree = i32::try_from(n + 1).unwrap();
            let f = |x: f64| x.powi(degree);
            let slope = |row: &[f64; MOST + 2]| {
                row[0] * f(-1.0) + row[n + 1] * f(1.0) + (0..n).map(|k| row[k + 1] * f(rule.x[k])).sum::<f64>()
            };
            for i in 0..n {
                assert!((slope(&rule.d[i]) - f64::from(degree) * rule.x[i].powi(degree - 1)).abs() < 1e-10);
            }
        }
    }
}
