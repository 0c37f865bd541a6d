//! Bracketed root finding, in plain `f64`.
//!
//! A short secant search inside the bracket comes first, since it needs one evaluation an
//! iteration where [`roots::find_root_brent`] needs two; what it leaves open goes to Brent's method.
//! Whatever finds the root, the answer is checked: finite, inside the bracket, and a small residual,
//! so that a pole or a jump is never taken for a root.

use roots::{Convergency, find_root_brent};

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
    /// Residual that is rounding alone: no step can lower it.
    pub rounding: f64,
}

const SECANT_STEPS: usize = 24;
const BRENT_STEPS: usize = 100;

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
    // x and y are the last two points tried; the bracket always holds the root.
    let (mut x, mut fx, mut y, mut fy) = (b.low, b.f_low, b.high, b.f_high);
    let mut narrow = 0;
    for n in 0..SECANT_STEPS {
        let secant = y - fy * (y - x) / (fy - fx);
        let width = b.high - b.low;
        let next = if narrow < 3 && secant > b.low && secant < b.high { secant } else { 0.5 * (b.low + b.high) };
        let fnext = f(next);
        if !fnext.is_finite() {
            return Err(failed(&b, n, fnext));
        }
        let step = (next - y).abs();
        (x, fx, y, fy) = (y, fy, next, fnext);
        if (fnext > 0.0) == (b.f_low > 0.0) {
            (b.low, b.f_low) = (next, fnext);
        } else {
            (b.high, b.f_high) = (next, fnext);
        }
        // A bracket that hardly shrinks means that the secant creeps along one side: halve it.
        narrow = if b.high - b.low > 0.5 * width { narrow + 1 } else { 0 };
        let small = tolerance.relative * next.abs() + tolerance.absolute;
        if fnext.abs() <= tolerance.rounding || ((step <= small || b.high - b.low <= small) && fnext.abs() <= tolerance.residual) {
            return Ok(next);
        }
    }
    let mut watch = Watch { tolerance, iterations: 0, broken: None };
    let found = find_root_brent(b.low, b.high, &mut f, &mut watch);
    if let (Ok(root), None) = (found, watch.broken) {
        let residual = f(root);
        if root >= b.low && root <= b.high && residual.abs() <= tolerance.residual {
            return Ok(root);
        }
        return Err(failed(&b, SECANT_STEPS + watch.iterations, residual));
    }
    Err(failed(&b, SECANT_STEPS + watch.iterations, watch.broken.unwrap_or(b.f_low)))
}

/// Stops Brent's method on the tolerance, on its limit, or on the first value that is not finite.
struct Watch {
    tolerance: Tolerance,
    iterations: usize,
    broken: Option<f64>,
}

impl Convergency<f64> for Watch {
    fn is_root_found(&mut self, y: f64) -> bool {
        if !y.is_finite() {
            self.broken = Some(y);
        }
        y.abs() <= self.tolerance.rounding
    }

    fn is_converged(&mut self, x1: f64, x2: f64) -> bool {
        (x1 - x2).abs() <= self.tolerance.relative * x1.abs().max(x2.abs()) + self.tolerance.absolute
    }

    fn is_iteration_limit_reached(&mut self, iterations: usize) -> bool {
        self.iterations = iterations;
        self.broken.is_some() || iterations >= BRENT_STEPS
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIGHT: Tolerance = Tolerance { relative: 1e-12, absolute: 1e-14, residual: 1e-6, rounding: 0.0 };

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
    fn ends_that_are_roots() {
        assert_eq!(root(0.0, 1.0, |x| x).unwrap(), 0.0);
        assert_eq!(root(-1.0, 0.0, |x| x).unwrap(), 0.0);
    }
}
