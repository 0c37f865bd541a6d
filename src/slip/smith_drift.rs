//! Churn and annular flow after Smith, with a drift that keeps a threshold: a combination of this project.
//!
//! ```text
//! α   = j_g / (C₀ j + V_d)        C₀ = β + s (1 − β)        V_d = V (1 − α)²
//! s   = K + (1 − K) √[(ρ_l/ρ_g + K R)/(1 + K R)]            K = 0.4
//! R   = (1 − x)/x = ρ_l j_l/(ρ_g j_g)       β = j_g/j       V = 0.35 √(g D Δρ/ρ_l) C₃
//! ```
//!
//! `s` is Smith's ratio of the velocities of gas and water: the core and the film at the wall have the same velocity
//! head, and the share K of the water goes with the core. By itself, with no drift, it lets the smallest air flow
//! carry a little water to any height, so there is no threshold. The drift is that of
//! [`bhagwat_ghajar_2014`](super::bhagwat_ghajar_2014), with its C₃; it vanishes as the gas takes the section over. The
//! exponent is the project's own: 1.5 to 4 do alike.
//!
//! # Nearly no water
//! `C₀ j` is `j_g + e`, with `e = s j_l`. Where `e` is below V/27, which takes less water than any use, the equation has
//! three solutions for some air flows, and without water it ends at α = 1. There `e` counts as
//!
//! ```text
//! c (e/c + exp(−e/c))        c = V/18, one and a half times that V/27
//! ```
//!
//! which is never below c, so that there is one solution and it is below 1. From e = 2 V on it is `e` itself to the last
//! digit. With `u = 1 − α` one root of a cubic in (0, 1) is sought:
//!
//! ```text
//! h(u) = e − u (j_g + e) + V u² − V u³        h(0) > 0 > h(1)
//! ```
//!
//! `h` is convex left of 1/3 and concave right of it. Newton's steps from `e/(j_g + e)`, left of a root below 1/3, or
//! from `1 − j_g/(j_g + e + V)`, right of one above it, never pass the root, so no bracket is needed.
//!
//! Taken as it stands, the equation makes the water flow of a wide short riser jump near its threshold, and some
//! risers have no threshold that a search can find.
//!
//! # Validity
//! [`BORE`]: the risers that the combination was tried on, part of them not in `tests/data`. [`VOID_FRACTION`]: all.
//! [`SUBMERGENCE_RATIO`]: what it is for. From 0.4 on it is about as good as the default, but near the threshold it gives
//! too much water, so it is not the default (`tests/low_submergence.rs`).
//!
//! # References
//! [Own combination](crate::references::SMITH_COMBINATION) of [Smith (1969)](crate::references::SMITH_1969) and
//! [Bhagwat & Ghajar (2014)](crate::references::BHAGWAT_GHAJAR_2014).

use super::bhagwat_ghajar_2014::Drift;
use crate::error::range;
use crate::two_phase::Flow;

range!(BORE, 19 to 51 "mm", "Bores of the risers that it was tried on.");
range!(SUBMERGENCE_RATIO, 0.2 to 0.4, "Submergence ratios that it is meant for: down to the lowest one measured.");
pub use crate::two_phase::VOID_FRACTION;

/// Share K of the water that goes with the core.
const K: f64 = 0.4;
/// c over V.
const LEAST: f64 = 1.5 / 27.0;

/// Steps allowed: a guard that the argument above makes unreachable.
const MAX_STEPS: usize = 60;
/// Relative step below which the next one is lost in rounding, since Newton's method squares it.
const LAST_STEP: f64 = 1e-8;

pub(crate) fn gas_fraction(flow: &Flow, drift: &Drift) -> f64 {
    if flow.j_g <= 0.0 {
        return 0.0;
    }
    let drift = drift.m_per_s(flow.rho_g / flow.rho_l);
    let e = one_solution(slip_ratio(flow) * flow.j_l, drift);
    let u = root(flow.j_g, e, drift).0;
    flow.j_g / (flow.j_g + e + drift * u * u)
}

/// Smith's slip ratio.
fn slip_ratio(flow: &Flow) -> f64 {
    // K R = K ρ_l j_l/(ρ_g j_g)
    let film = K * flow.rho_l * flow.j_l / (flow.rho_g * flow.j_g);
    let heads = if film.is_finite() {
        (flow.rho_l / flow.rho_g + film) / (1.0 + film)
    } else {
        1.0
    };
    K + (1.0 - K) * heads.sqrt()
}

/// e, never so small beside V that there are three solutions.
fn one_solution(e: f64, v: f64) -> f64 {
    let c = LEAST * v;
    if c > 0.0 { e + c * (-e / c).exp() } else { e }
}

/// The root u and the steps taken; `e ≥ v/27`.
fn root(j_g: f64, e: f64, v: f64) -> (f64, usize) {
    // h(1/3) = (2 e − j_g)/3 + 2 V/27
    let mut u = if 9.0 * (2.0 * e - j_g) + 2.0 * v > 0.0 {
        (e + v) / (j_g + e + v)
    } else {
        e / (j_g + e)
    };
    for step in 1..=MAX_STEPS {
        let h = e - u * (j_g + e) + v * u * u * (1.0 - u);
        let slope = -(j_g + e) + v * u * (2.0 - 3.0 * u);
        let change = h / slope;
        u -= change;
        if change.abs() <= LAST_STEP * u {
            return (u, step);
        }
    }
    (u, MAX_STEPS)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::slip::Slip;

    #[test]
    fn smiths_own_void_fraction() {
        // fluids 1.3.1 (Bell), the example of its function Smith: x = 0.4, 800 and 2.5 kg/m³.
        let flow = Flow {
            rho_l: 800.0,
            rho_g: 2.5,
            j_l: 0.6 / 800.0,
            j_g: 0.4 / 2.5,
            ..Flow::check()
        };
        let alpha = flow.j_g / (flow.j_g + slip_ratio(&flow) * flow.j_l);
        approx::assert_relative_eq!(alpha, 0.959_981_235_534_199, max_relative = 1e-14);
    }

    #[test]
    fn newton_agrees_with_bisection_and_settles_fast() {
        let mut most = 0;
        for j_g in [1e-9, 1e-4, 0.01, 0.03, 0.05, 0.3, 1.5, 5.0, 30.0, 1000.0] {
            for e in [0.0, 1e-9, 1e-4, 3e-3, 0.01, 0.03, 0.1, 1.0, 10.0, 1000.0] {
                for v in [1e-3, 0.03, 0.17, 0.35, 2.0] {
                    let e = one_solution(e, v);
                    let (u, steps) = root(j_g, e, v);
                    let (mut low, mut high) = (0.0_f64, 1.0_f64);
                    for _ in 0..200 {
                        let u = 0.5 * (low + high);
                        // (1 − u)(j_g + e + V u²) − j_g, with what cancels left out
                        if e + u * (v * u * (1.0 - u) - (j_g + e)) > 0.0 {
                            low = u;
                        } else {
                            high = u;
                        }
                    }
                    // What a last digit of h moves the root by, at the flattest h there is.
                    assert!((u - high).abs() < 1e-13 * u, "j_g {j_g} e {e} V {v}: {u}");
                    most = most.max(steps);
                }
            }
        }
        assert!(most <= 20, "{most} steps");
    }

    /// Where the exact equation has one solution only, no other void is given.
    #[test]
    fn water_that_moves_has_the_equation_itself() {
        for j_g in [0.05, 0.3, 3.0, 30.0] {
            let flow = Flow {
                j_g,
                ..Flow::check()
            };
            let alpha = Slip::SmithDrift.gas_fraction(&flow);
            let v = Drift::new(flow.d_m, flow.rho_l, flow.sigma).m_per_s(flow.rho_g / flow.rho_l);
            let velocity = j_g + slip_ratio(&flow) * flow.j_l + v * (1.0 - alpha).powi(2);
            approx::assert_relative_eq!(alpha * velocity, j_g, max_relative = 1e-12);
        }
    }

    /// More gas, more void; more water, less: with no jump where water hardly moves.
    #[test]
    fn the_void_is_monotone_without_a_jump() {
        let at = |d_m: f64, j_l: f64, j_g: f64| {
            Slip::SmithDrift.gas_fraction(&Flow {
                d_m,
                j_l,
                j_g,
                ..Flow::check()
            })
        };
        for d_m in [0.01, 0.0254, 0.1, 0.5] {
            for j_l in [0.0, 1e-9, 1e-5, 3e-4, 1e-3, 0.01, 0.3] {
                let mut before = 0.0;
                for n in 0..2000 {
                    let j_g = 1e-6 * 1.01_f64.powi(n);
                    let alpha = at(d_m, j_l, j_g);
                    // At e = c, dα/d ln j_g = u (1 − u)(c/V + u²)/(c/V − u² + 2 u³): 2.26 at most, by hand.
                    let rise = alpha - before;
                    assert!(
                        (0.0..2.26 * 0.01).contains(&rise),
                        "{d_m} {j_l} {j_g}: {rise}"
                    );
                    assert!(alpha < 1.0 && at(d_m, 1.01 * j_l + 1e-6, j_g) <= alpha);
                    before = alpha;
                }
            }
        }
    }
}
