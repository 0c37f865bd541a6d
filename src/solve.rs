//! Bracketed root finding, in plain `f64`.
//!
//! A short search by parabolas inside the bracket comes first, since it needs one evaluation an
//! iteration where [`roots::find_root_brent`] needs two; what it leaves open goes to Brent's method.
//! Whatever finds the root, the answer is checked: finite, inside the bracket, and a small residual,
//! so that a pole or a jump is never taken for a root.

use roots::{Convergency, SearchError, find_root_brent};

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

/// x and f(x).
type Point = (f64, f64);

/// No point: what is computed from it is no number either.
const NONE: Point = (f64::NAN, f64::NAN);

const FAST_STEPS: usize = 24;
const BRENT_STEPS: usize = 100;

impl Bracket {
    /// The part that holds the root, one more point known.
    fn split(self, (x, fx): Point) -> Self {
        if (fx > 0.0) == (self.f_low > 0.0) {
            Self {
                low: x,
                f_low: fx,
                ..self
            }
        } else {
            Self {
                high: x,
                f_high: fx,
                ..self
            }
        }
    }

    fn holds(&self, x: f64) -> bool {
        x > self.low && x < self.high
    }
}

/// The root of `f` in the bracket.
///
/// Converged when the next step would be below the tolerance; the search is superlinear, so the error
/// of the root is below that step.
///
/// # Errors
/// [`Error::NotConverged`] when `f` is not finite, jumps or has a pole in the bracket.
pub(crate) fn bracketed(
    what: Solve,
    bracket: Bracket,
    tolerance: Tolerance,
    f: impl FnMut(f64) -> f64,
) -> Result<f64, Error> {
    let (low, high) = ((bracket.low, bracket.f_low), (bracket.high, bracket.f_high));
    for (end, f_end) in [low, high] {
        if f_end == 0.0 {
            return Ok(end);
        }
    }
    search(what, bracket, [NONE, low, high], tolerance, f)
}

/// The same from a first guess inside the bracket, for a function that bends about as 1/(x + bend);
/// of `f_high` only the sign is used.
///
/// # Errors
/// As [`bracketed`].
pub(crate) fn bracketed_near(
    what: Solve,
    guess: f64,
    bend: f64,
    bracket: Bracket,
    tolerance: Tolerance,
    mut f: impl FnMut(f64) -> f64,
) -> Result<f64, Error> {
    let first = (guess, f(guess));
    if first.1.abs() <= tolerance.rounding {
        return Ok(guess);
    }
    let (low, rest) = ((bracket.low, bracket.f_low), bracket.split(first));
    let inverse = |(x, fx): Point| (1.0 / (x + bend), fx);
    let (u, fu) = inverse(first);
    let next = 1.0 / (u - fu * inverse_slope(inverse(low), (u, fu))) - bend;
    if !rest.holds(next) {
        return search(what, rest, [NONE, low, first], tolerance, f);
    }
    let second = (next, f(next));
    search(what, rest.split(second), [low, first, second], tolerance, f)
}

/// A search whose function may fail: the first failure ends it, and is its error.
pub(crate) fn fallible<T>(
    mut f: impl FnMut(f64) -> Result<f64, Error>,
    search: impl FnOnce(&mut dyn FnMut(f64) -> f64) -> Result<T, Error>,
) -> Result<T, Error> {
    let mut failure = None;
    let found = search(&mut |x| {
        f(x).unwrap_or_else(|error| {
            failure.get_or_insert(error);
            f64::NAN
        })
    });
    failure.map_or(found, Err)
}

fn search(
    what: Solve,
    mut b: Bracket,
    [mut x, mut y, mut z]: [Point; 3],
    tolerance: Tolerance,
    mut f: impl FnMut(f64) -> f64,
) -> Result<f64, Error> {
    let failed = |b: &Bracket, iterations, residual| Error::NotConverged {
        what,
        iterations,
        residual,
        low: b.low,
        high: b.high,
    };
    if !(b.f_low.is_finite() && b.f_high.is_finite()) || (b.f_low > 0.0) == (b.f_high > 0.0) {
        return Err(failed(&b, 0, b.f_low));
    }
    // x, y, z are the last three points tried.
    let mut slow = 0;
    for n in 0..FAST_STEPS {
        // Secant, and parabola through three points, of x as a function of f.
        let secant = z.0 - z.1 * inverse_slope(y, z);
        let parabola =
            secant + z.1 * y.1 * (inverse_slope(y, z) - inverse_slope(x, y)) / (z.1 - x.1);
        let middle = 0.5 * (b.low + b.high);
        // Residuals that hardly fall mean that the search creeps along one side: halve the bracket.
        let tries = if slow < 2 {
            [parabola, secant, middle]
        } else {
            [middle; 3]
        };
        let at = tries.into_iter().find(|x| b.holds(*x)).unwrap_or(middle);
        let next = (at, f(at));
        if !next.1.is_finite() {
            return Err(failed(&b, n, next.1));
        }
        b = b.split(next);
        slow = if slow < 2 && next.1.abs() > 0.5 * z.1.abs() {
            slow + 1
        } else {
            0
        };
        (x, y, z) = (y, z, next);
        let step = (z.1 * inverse_slope(y, z))
            .abs()
            .min((z.0 - y.0).abs())
            .min(b.high - b.low);
        let small = tolerance.relative * z.0.abs() + tolerance.absolute;
        if z.1.abs() <= tolerance.rounding || (step <= small && z.1.abs() <= tolerance.residual) {
            return Ok(z.0);
        }
    }
    let mut watch = Watch {
        tolerance,
        iterations: 0,
        smallest: f64::INFINITY,
        broken: None,
    };
    // The crate gives back a point of its last bracket, not the best one, and not that bracket.
    let (mut best, [low, high]) = (z, [b.low, b.high]);
    let kept = |x: f64| {
        let y = f(x);
        if y.abs() < best.1.abs() {
            best = (x, y);
        }
        if y.is_finite() && b.holds(x) {
            b = b.split((x, y));
        }
        y
    };
    let found = find_root_brent(low, high, kept, &mut watch);
    // Signs that were opposite and are not so again are those of rounding: the root is there.
    let settled = matches!(found, Ok(_) | Err(SearchError::NoBracketing));
    if settled && watch.broken.is_none() && best.1.abs() <= tolerance.residual {
        return Ok(best.0);
    }
    Err(failed(
        &b,
        FAST_STEPS + watch.iterations,
        watch.broken.unwrap_or(best.1),
    ))
}

/// dx/df between two points.
fn inverse_slope(a: Point, b: Point) -> f64 {
    (b.0 - a.0) / (b.1 - a.1)
}

/// Stops Brent's method on the tolerance, on its limit, or on the first value that is not finite.
struct Watch {
    tolerance: Tolerance,
    iterations: usize,
    /// Smallest residual so far.
    smallest: f64,
    broken: Option<f64>,
}

impl Convergency<f64> for Watch {
    fn is_root_found(&mut self, y: f64) -> bool {
        if !y.is_finite() {
            self.broken = Some(y);
        }
        self.smallest = self.smallest.min(y.abs());
        y.abs() <= self.tolerance.rounding
    }

    fn is_converged(&mut self, x1: f64, x2: f64) -> bool {
        let (width, size) = ((x1 - x2).abs(), x1.abs().max(x2.abs()));
        // Where f is steep a step may be small while its residual is not: on, as far as f64 goes.
        let small = width <= self.tolerance.relative * size + self.tolerance.absolute;
        (small && self.smallest <= self.tolerance.residual) || width <= 4.0 * f64::EPSILON * size
    }

    fn is_iteration_limit_reached(&mut self, iterations: usize) -> bool {
        self.iterations = iterations;
        self.broken.is_some() || iterations >= BRENT_STEPS
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TIGHT: Tolerance = Tolerance {
        relative: 1e-12,
        absolute: 1e-14,
        residual: 1e-6,
        rounding: 0.0,
    };

    fn root(low: f64, high: f64, f: impl Fn(f64) -> f64) -> Result<f64, Error> {
        let bracket = Bracket {
            low,
            f_low: f(low),
            high,
            f_high: f(high),
        };
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
        assert!(
            root(0.0, 1.0, |x| if x == 0.0 {
                -1.0
            } else if x == 1.0 {
                1.0
            } else {
                f64::NAN
            })
            .is_err()
        );
        assert!(root(0.0, 1.0, |_| f64::NAN).is_err());
        assert!(root(0.0, 1.0, |_| 1.0).is_err());
    }

    #[test]
    fn a_root_beside_a_steep_end_is_found() {
        // ln-like near one end, as the column's excess near no flow; a flat power; a far scale.
        assert!(
            (root(0.0, 32.0, |x| 40.0 * (0.2f64.ln() - (x + 1e-9).ln())).unwrap() - 0.2).abs()
                < 1e-8
        );
        assert!(
            (root(0.0, 1.0, |x| x.powf(0.224) - 1e-3).unwrap() / 1e-3f64.powf(1.0 / 0.224) - 1.0)
                .abs()
                < 0.1
        );
        assert!((root(0.0, 1e9, |x| 1.0 - x).unwrap() - 1.0).abs() < 1e-9);
        // So steep that the tolerance of x is met long before that of f.
        assert!(
            (root(0.0, 1.0, |x| 1e16 * (x - 3e-9) / (x + 1e-9)).unwrap() / 3e-9 - 1.0).abs()
                < 1e-12
        );
    }

    #[test]
    fn rounding_near_the_root_does_not_lose_it() {
        // A value that changes sign at random within 1e-13 of the root.
        let noisy = |x: f64| (x - 0.3) + 1e-13 * (1e17 * x).sin();
        assert!((root(0.0, 1.0, noisy).unwrap() - 0.3).abs() < 1e-11);
    }

    #[test]
    fn a_function_that_depends_on_what_was_asked_before_has_its_root() {
        // Flat but for rounding that is another each time, as that of a search within: it ends above its tolerance.
        let mut asked = 0_u32;
        let noisy = |x: f64| {
            asked += 1;
            let noise = if asked.is_multiple_of(2) { 1e-9 } else { -2e-9 };
            1e-9 * (0.3 - x) + if asked < 24 { noise } else { 1e-9 }
        };
        let bracket = Bracket {
            low: 0.0,
            f_low: 1e-9,
            high: 1.0,
            f_high: -1e-9,
        };
        let found = bracketed(Solve::WaterFlow, bracket, TIGHT, noisy).unwrap();
        assert!((0.0..=1.0).contains(&found));
    }

    #[test]
    fn ends_that_are_roots() {
        assert_eq!(root(0.0, 1.0, |x| x).unwrap(), 0.0);
        assert_eq!(root(-1.0, 0.0, |x| x).unwrap(), 0.0);
    }
}
