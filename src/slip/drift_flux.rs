//! The drift-flux relation that every slip closure ends in.
//!
//! ```text
//! α = j_g / (C₀ j + V_d)                                  explicit: V_d known
//! (1 − s²)(C₀ j + V s) = j_g,   s = √(1 − α)              implicit: V_d = V √(1 − α)
//! ```
//!
//! With `C₀ ≥ 1` and `V > 0` the cubic `h(s)`, left side minus right, is `C₀ j − j_g ≥ 0` at `s = 0` and `−j_g < 0`
//! at `s = ±1` and `s = −C₀ j/V`, and rises without end to the left: all three roots are real, and the one sought
//! is the largest, the only one in (0, 1). The start `s₀ = √(1 − j_g/(C₀ j + V))` lies right of it. From there
//! Halley's steps fall to the root and never pass it. With `d = s − r` the distance to it,
//!
//! ```text
//! q = h'/h = Σ 1/(s − rᵢ) ≥ 1/d      Q = Σ 1/(s − rᵢ)² ≥ 1/d²
//! step = 2 h h'/(2 h'² − h h″) = 2 q/(q² + Q) ≤ 2 q/(q² + 1/d²) ≤ d
//! ```
//!
//! so no bracket is needed.

use crate::two_phase::Flow;

/// Steps allowed: a guard that the argument above makes unreachable. Two or three are taken at flows of an
/// airlift.
const MAX_STEPS: usize = 60;

/// Relative step below which the next one is lost in rounding, since Halley's method cubes it and takes about a third.
const LAST_STEP: f64 = 2e-5;

/// Gas fraction for a drift velocity `v_d` that does not depend on it.
pub(crate) fn explicit(flow: &Flow, c0: f64, v_d: f64) -> f64 {
    if flow.j_g > 0.0 {
        flow.j_g / (c0 * flow.j() + v_d)
    } else {
        0.0
    }
}

/// Gas fraction for a drift velocity `v √(1 − α)`; `c0 ≥ 1` and `v > 0`.
pub(crate) fn implicit(flow: &Flow, c0: f64, v: f64) -> f64 {
    if flow.j_g > 0.0 {
        let c0_j = c0 * flow.j();
        flow.j_g / (c0_j + v * root(flow.j_g, c0_j, v).0)
    } else {
        0.0
    }
}

/// The root s and the steps taken.
fn root(j_g: f64, c0_j: f64, v: f64) -> (f64, usize) {
    let excess = c0_j - j_g;
    // s₀ = √(1 − j_g/(C₀ j + V))
    let mut s = ((excess + v) / (c0_j + v)).sqrt();
    for step in 1..=MAX_STEPS {
        let velocity = c0_j + v * s;
        // h = (1 − s²)(C₀ j + V s) − j_g = (C₀ j − j_g) + s [V − s (C₀ j + V s)], which keeps its digits
        // at small s;   h' = V (1 − s²) − 2 s (C₀ j + V s);   h″ = −2 C₀ j − 6 V s
        let h = excess + s * (v - s * velocity);
        let slope = v * (1.0 - s * s) - 2.0 * s * velocity;
        let bend = -2.0 * c0_j - 6.0 * v * s;
        let change = 2.0 * h * slope / (2.0 * slope * slope - h * bend);
        s -= change;
        if change <= LAST_STEP * s {
            return (s, step);
        }
    }
    (s, MAX_STEPS)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Bisection on the same equation, the slow and certain way.
    fn bisected(j_g: f64, c0_j: f64, v: f64) -> f64 {
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for _ in 0..200 {
            let s = 0.5 * (low + high);
            if (c0_j - j_g) + v * s - s * s * (c0_j + v * s) > 0.0 {
                low = s;
            } else {
                high = s;
            }
        }
        0.5 * (low + high)
    }

    #[test]
    fn halley_agrees_with_bisection_and_settles_fast() {
        let mut most = 0;
        for j_g in [1e-9, 1e-4, 0.01, 0.05, 0.3, 1.5, 5.0, 30.0, 300.0, 1000.0] {
            for j_l in [0.0, 1e-6, 0.01, 0.3, 1.0, 5.0, 1000.0] {
                for c0 in [1.0, 1.0 + 1e-9, 1.05, 1.2, 2.0] {
                    for v in [1e-3, 0.03, 0.2, 1.0, 5.0] {
                        let j = j_l + j_g;
                        let (s, steps) = root(j_g, c0 * j, v);
                        let start = ((c0 * j - j_g + v) / (c0 * j + v)).sqrt();
                        let exact = bisected(j_g, c0 * j, v);
                        // Both carry the rounding of h, a few eps of its terms.
                        assert!(
                            (s / exact - 1.0).abs() < 1e-13,
                            "j_g {j_g} j_l {j_l} C0 {c0} V {v}: {s} against {exact}"
                        );
                        assert!(start >= exact * (1.0 - 1e-13));
                        let alpha = implicit(
                            &Flow {
                                j_l,
                                j_g,
                                ..Flow::check()
                            },
                            c0,
                            v,
                        );
                        assert!((0.0..1.0).contains(&alpha), "j_g {j_g} j_l {j_l}: {alpha}");
                        most = most.max(steps);
                    }
                }
            }
        }
        assert!(most <= 20, "{most} steps");
        assert!(root(0.3, 0.72, 0.17).1 <= 3);
    }

    #[test]
    fn no_gas_is_no_void() {
        for j_l in [0.0, 1.0] {
            let flow = Flow {
                j_l,
                j_g: 0.0,
                ..Flow::check()
            };
            assert_eq!(explicit(&flow, 1.2, 0.0), 0.0);
            assert_eq!(implicit(&flow, 1.2, 0.3), 0.0);
        }
    }
}
