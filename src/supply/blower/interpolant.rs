//! A curve through points that is monotone wherever the points are.
//!
//! Piecewise cubic in Hermite's form. Slopes inside are the weighted harmonic mean of the slopes of
//! the two neighbouring chords:
//!
//! ```text
//! d_i = 3 (h_(i−1) + h_i) / [(2 h_i + h_(i−1))/δ_(i−1) + (h_i + 2 h_(i−1))/δ_i]    if δ_(i−1) δ_i > 0
//! d_i = 0                                                                         otherwise
//! ```
//!
//! with the widths h_i = x_(i+1) − x_i and the chords' slopes δ_i = (y_(i+1) − y_i)/h_i. At an end the
//! slope is that of the parabola through three points, cut to what keeps the shape.
//!
//! Inside: [Fritsch & Butland (1984)](crate::references::FRITSCH_BUTLAND_1984), the formula of Brodlie.
//! Ends: [Moler (2004)](crate::references::MOLER_2004), from memory.

use crate::error::{Error, Solve};
use crate::solve::{Bracket, Tolerance, bracketed};

/// A curve through two points at least, x strictly rising.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Interpolant {
    /// x, y and dy/dx of each point.
    knots: Vec<[f64; 3]>,
}

impl Interpolant {
    /// The curve through points in order of x.
    pub fn new(points: &[(f64, f64)]) -> Self {
        // Width and slope of each chord.
        let chords: Vec<(f64, f64)> = points
            .windows(2)
            .map(|pair| {
                let width = pair[1].0 - pair[0].0;
                (width, (pair[1].1 - pair[0].1) / width)
            })
            .collect();
        let slope = |i: usize| {
            let before = i.checked_sub(1).and_then(|before| chords.get(before));
            match (before, chords.get(i)) {
                (Some(before), Some(after)) => inner_slope(*before, *after),
                (None, Some(first)) => end_slope(*first, chords.get(1)),
                (Some(last), None) => {
                    end_slope(*last, i.checked_sub(2).and_then(|next| chords.get(next)))
                }
                (None, None) => 0.0,
            }
        };
        let knots = points
            .iter()
            .enumerate()
            .map(|(i, (x, y))| [*x, *y, slope(i)])
            .collect();
        Self { knots }
    }

    /// x at the two ends.
    pub fn ends(&self) -> (f64, f64) {
        let x = |knot: Option<&[f64; 3]>| knot.map_or(f64::NAN, |knot| knot[0]);
        (x(self.knots.first()), x(self.knots.last()))
    }

    /// y at x; NaN outside the ends.
    pub fn at(&self, x: f64) -> f64 {
        let (first, last) = self.ends();
        if !(first..=last).contains(&x) {
            return f64::NAN;
        }
        let after = self.knots.partition_point(|knot| knot[0] <= x);
        let after = after.clamp(1, self.knots.len() - 1);
        let ([x0, y0, d0], [x1, y1, d1]) = (self.knots[after - 1], self.knots[after]);
        let h = x1 - x0;
        let t = (x - x0) / h;
        let u = 1.0 - t;
        // y = y0 + (y1 − y0) t² (3 − 2 t) + h t (1 − t) [d0 (1 − t) − d1 t]
        y0 + (y1 - y0) * t * t * (3.0 - 2.0 * t) + h * t * u * (d0 * u - d1 * t)
    }

    /// x at y of a falling curve; NaN outside.
    pub fn inverse_of_falling(&self, y: f64) -> Result<f64, Error> {
        let after = self.knots.partition_point(|knot| knot[1] > y);
        let ([x1, y1, _], Some([x0, y0, _])) = (
            self.knots.get(after).copied().unwrap_or([f64::NAN; 3]),
            after.checked_sub(1).and_then(|i| self.knots.get(i)),
        ) else {
            // At the first knot, or above it.
            let first = self.knots.first().filter(|knot| knot[1] == y);
            return Ok(first.map_or(f64::NAN, |knot| knot[0]));
        };
        if !x1.is_finite() {
            return Ok(f64::NAN);
        }
        let height = y0 - y1;
        let bracket = Bracket {
            low: *x0,
            f_low: (y0 - y) / height,
            high: x1,
            f_high: (y1 - y) / height,
        };
        let tolerance = Tolerance {
            relative: 1e-13,
            absolute: 1e-15 * self.ends().1,
            residual: 1e-9,
            rounding: 1e-15,
        };
        bracketed(Solve::BlowerFlow, bracket, tolerance, |x| {
            (self.at(x) - y) / height
        })
    }
}

fn inner_slope((h0, slope0): (f64, f64), (h1, slope1): (f64, f64)) -> f64 {
    if slope0.signum() == slope1.signum() && slope0 != 0.0 && slope1 != 0.0 {
        3.0 * (h0 + h1) / ((2.0 * h1 + h0) / slope0 + (h1 + 2.0 * h0) / slope1)
    } else {
        0.0
    }
}

/// Slope at an end from the chord beside it and the one after that.
fn end_slope((h0, slope0): (f64, f64), next: Option<&(f64, f64)>) -> f64 {
    let Some((h1, slope1)) = next else {
        return slope0;
    };
    let parabola = ((2.0 * h0 + h1) * slope0 - h0 * slope1) / (h0 + h1);
    if parabola * slope0 <= 0.0 {
        0.0
    } else if slope0 * slope1 < 0.0 && parabola.abs() > 3.0 * slope0.abs() {
        3.0 * slope0
    } else {
        parabola
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slopes_by_hand() {
        // (0, 10), (1, 9), (3, 3): h = 1, 2; δ = −1, −3.
        // d_0 = ((2 + 2)(−1) − (−3))/3 = −1/3; d_1 = 9/((4 + 1)/−1 + (2 + 2)/−3) = −27/19;
        // d_2 = ((4 + 1)(−3) − 2 (−1))/3 = −13/3.
        let curve = Interpolant::new(&[(0.0, 10.0), (1.0, 9.0), (3.0, 3.0)]);
        let slopes: Vec<f64> = curve.knots.iter().map(|knot| knot[2]).collect();
        for (slope, expected) in slopes.iter().zip([-1.0 / 3.0, -27.0 / 19.0, -13.0 / 3.0]) {
            assert!((slope - expected).abs() < 1e-14, "{slopes:?}");
        }
        // Half way: mean of the ends + h (d_0 − d_1)/8.
        let middle = 9.5 + (-1.0 / 3.0 + 27.0 / 19.0) / 8.0;
        assert!((curve.at(0.5) - middle).abs() < 1e-14);
        assert!((curve.inverse_of_falling(middle).unwrap() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn two_points_are_a_line_and_outside_is_nothing() {
        let curve = Interpolant::new(&[(2.0, 8.0), (6.0, 0.0)]);
        assert!((curve.at(3.0) - 6.0).abs() < 1e-15);
        assert_eq!((curve.at(2.0), curve.at(6.0)), (8.0, 0.0));
        assert!(curve.at(1.9).is_nan() && curve.at(6.1).is_nan() && curve.at(f64::NAN).is_nan());
        assert_eq!(curve.inverse_of_falling(8.0), Ok(2.0));
        assert_eq!(curve.inverse_of_falling(0.0), Ok(6.0));
        for y in [8.1, -0.1, f64::NAN] {
            assert!(curve.inverse_of_falling(y).unwrap().is_nan(), "{y}");
        }
    }
}
