//! Bracketed root finding, in plain `f64`.
//!
//! Secants inside the bracket, since they need one evaluation an iteration; a halving whenever the
//! bracket hardly shrinks. Whatever the way, the answer is checked: finite, inside the bracket, and a
//! small residual, so that a pole or a jump is never taken for a root.

use crate::error::{Error, Solve};

/// Two points of opposite sign.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bracket {
    pub low: f64,
    pub f_low: f64,
    pub high: f64,
    pub f_high: f64,
}

/// When a root is good enough.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Tolerance {
    /// Step relative to the root.
    pub relative: f64,
    /// Smallest step that counts.
    pub absolute: f64,
    /// Largest residual of an accepted root.
    pub residual: f64,
}

/// Secants that may leave more than half of the bracket before it is halved.
const PATIENCE: usize = 3;
/// Evaluations allowed: a guard. Every fourth one at least halves the bracket.
const MOST: usize = 250;

/// The root of `f` in the bracket.
///
/// Converged when the last step is below the tolerance; the search is superlinear, so the error
/// of the root is far below that step.
///
/// # Errors
/// [`Error::NotConverged`] when `f` is not finite, jumps or has a pole in the bracket.
pub(crate) fn bracketed(
    what: Solve,
    bracket: Bracket,
    tolerance: Tolerance,
    mut f: impl FnMut(f64) -> f64,
) -> Result<f64, Error> {
    let mut b = bracket;
    if b.f_low == 0.0 {
        return Ok(b.low);
    }
    if b.f_high == 0.0 {
        return Ok(b.high);
    }
    let failed = |b: &Bracket, iterations, residual| Error::NotConverged { what, iterations, residual, low: b.low, high: b.high };
    if !(b.f_low.is_finite() && b.f_high.is_finite()) || (b.f_low > 0.0) == (b.f_high > 0.0) {
        return Err(failed(&b, 0, b.f_low));
    }
    // y is the better of the last two points kept; the bracket always holds the root.
    let (mut x, mut fx, mut y, mut fy) = (b.low, b.f_low, b.high, b.f_high);
    let mut idle = 0;
    for n in 1..=MOST {
        let secant = y - fy * (y - x) / (fy - fx);
        let width = b.high - b.low;
        let inside = secant > b.low && secant < b.high;
        let next = if inside && idle < PATIENCE { secant } else { b.low + 0.5 * width };
        let fnext = f(next);
        if !fnext.is_finite() {
            return Err(failed(&b, n, fnext));
        }
        let step = (next - y).abs();
        if (fnext > 0.0) == (b.f_low > 0.0) {
            (b.low, b.f_low) = (next, fnext);
        } else {
            (b.high, b.f_high) = (next, fnext);
        }
        let small = tolerance.relative * next.abs() + tolerance.absolute;
        if fnext == 0.0 || (step.min(b.high - b.low) <= small && fnext.abs() <= tolerance.residual) {
            return Ok(next);
        }
        if next <= b.low && next >= b.high || b.high - b.low <= f64::EPSILON * next.abs() {
            return Err(failed(&b, n, fnext));
        }
        idle = if b.high - b.low > 0.5 * width { idle + 1 } else { 0 };
        if fnext.abs() <= fy.abs() {
            (x, fx, y, fy) = (y, fy, next, fnext);
        } else {
            (x, fx) = (next, fnext);
        }
    }
    Err(failed(&b, MOST, fy))
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIGHT: Tolerance = Tolerance { relative: 1e-12, absolute: 1e-14, residual: 1e-6 };

    fn root(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Result<f64, Error> {
        let bracket = Bracket { low, f_low: f(low), high, f_high: f(high) };
        bracketed(Solve::WaterFlow, bracket, TIGHT, f)
    }

    #[test]
    fn smooth_and_awkward_roots() {
        // Closed forms: the cube root of 2, ln 1e5, the flat root of x⁹.
        assert!((root(0.0, 2.0, |x| x * x * x - 2.0).unwrap() - 2f64.cbrt()).abs() < 1e-12);
        assert!((root(0.0, 100.0, |x| x.exp() - 1e5).unwrap() - 1e5f64.ln()).abs() < 1e-10);
        assert!(root(-1.0, 1.5, |x| x.powi(9)).unwrap().abs() < 0.1);
        assert!((root(0.0, 1.0, |x| x - 1e-9).unwrap() - 1e-9).abs() < 1e-14);
    }

    #[test]
    fn poles_jumps_and_nan_are_refused() {
        assert!(root(0.0, 1.0, |x| 1.0 / (x - 0.3)).is_err());
        assert!(root(0.0, 1.0, |x| if x < 0.3 { -1.0 } else { 1.0 }).is_err());
        assert!(root(0.0, 1.0, |x| if x == 0.0 { -1.0 } else if x == 1.0 { 1.0 } else { f64::NAN }).is_err());
        assert!(root(0.0, 1.0, |_| f64::NAN).is_err());
        assert!(root(0.0, 1.0, |_| 1.0).is_err());
    }

    #[test]
    fn a_root_beside_a_steep_end_is_found() {
        // ln-like near one end, as the column's excess near no flow; a flat power; a far scale.
        assert!((root(0.0, 32.0, |x| 40.0 * (0.2f64.ln() - (x + 1e-9).ln())).unwrap() - 0.2).abs() < 1e-8);
        assert!((root(0.0, 1.0, |x| x.powf(0.224) - 1e-3).unwrap() / 1e-3f64.powf(1.0 / 0.224) - 1.0).abs() < 0.1);
        assert!((root(0.0, 1e9, |x| 1.0 - x).unwrap() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn rounding_near_the_root_does_not_lose_it() {
        // A value that changes sign at random within 1e-13 of the root.
        let noisy = |x: f64| (x - 0.3) + 1e-13 * (1e17 * x).sin();
        assert!((root(0.0, 1.0, noisy).unwrap() - 0.3).abs() < 1e-11);
    }

    #[test]
    fn ends_that_are_roots() {
        assert_eq!(root(0.0, 1.0, |x| x).unwrap(), 0.0);
        assert_eq!(root(-1.0, 0.0, |x| x).unwrap(), 0.0);
    }
}
