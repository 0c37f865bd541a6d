//! The balance of each gas between water and bubbles that rise together.
//!
//! ```text
//! L c_i + n_i = T_i                                    nothing gets lost
//! dc_i/dt = k_i [h_i P n_i/N − c_i]                     t: time of the water, N = Σ n_i
//! ```
//!
//! | symbol | meaning | unit |
//! |---|---|---|
//! | L, n_i | flow of water, of gas i in the bubbles | m³/s, mol/s |
//! | c_i | dissolved gas | mol/m³ |
//! | k_i | transfer coefficient for a volume of water, k_L a | 1/s |
//! | h_i | solubility | mol/(m³ Pa) |
//! | P | pressure of the dry gas, p − p_v | Pa |
//!
//! With P/N constant over a step, the equation is linear and its solution an exponential; n_i follows from
//! the balance, so that it closes whatever the steps. A large k_i leads to equilibrium, not to large numbers.

use std::array::from_fn;

/// Oxygen, nitrogen, argon, carbon dioxide.
pub(super) const GASES: usize = 4;

/// Turns of a step for the amount of gas in its middle; the amount changes little.
const TURNS: usize = 4;

/// Water and bubbles at a height.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Phases {
    /// Dissolved, mol/m³.
    pub water: [f64; GASES],
    /// In the bubbles, mol/s.
    pub gas: [f64; GASES],
}

/// A piece of the way up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Step {
    /// Time that the water takes.
    pub seconds: f64,
    /// Solubility times pressure of the dry gas in its middle, h_i P, mol/m³.
    pub saturation: [f64; GASES],
}

/// What does not change on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Exchange {
    /// Flow of water, m³/s.
    pub water_m3_per_s: f64,
    /// Transfer coefficients, 1/s.
    pub rate_per_s: [f64; GASES],
}

impl Exchange {
    /// Water and bubbles after a step.
    pub fn after(&self, before: &Phases, step: &Step) -> Phases {
        let l = self.water_m3_per_s;
        let total: [f64; GASES] = from_fn(|i| l * before.water[i] + before.gas[i]);
        let amount = |phases: &Phases| phases.gas.iter().sum::<f64>();
        let start = amount(before);
        let mut middle = start;
        let mut after = *before;
        for _ in 0..TURNS {
            let water: [f64; GASES] = from_fn(|i| {
                // dc/dt = k (s T/N − (1 + s L/N) c)   with s = h P
                let share = step.saturation[i] / middle;
                let equilibrium = share * total[i] / (1.0 + share * l);
                let rate = self.rate_per_s[i] * (1.0 + share * l);
                equilibrium + (before.water[i] - equilibrium) * (-rate * step.seconds).exp()
            });
            after = Phases {
                water,
                gas: from_fn(|i| (total[i] - l * water[i]).max(0.0)),
            };
            middle = f64::midpoint(start, amount(&after));
        }
        after
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check_table::rows;

    /// About those of water at 20 °C, mol/(m³ Pa), times 1e5 Pa.
    const SATURATION: [f64; GASES] = [1.36, 0.69, 1.49, 38.6];

    fn start() -> Phases {
        Phases {
            water: [0.15, 0.5, 0.013, 0.4],
            gas: [0.21, 0.78, 0.0093, 0.0004].map(|share| 0.05 * share),
        }
    }

    /// Much gas and one pressure: C* − (C* − C) e^(−kt), in one step and in many.
    #[test]
    fn constant_gas_is_an_exponential() {
        let phases = Phases {
            gas: start().gas.map(|n| 1e9 * n),
            ..start()
        };
        let exchange = Exchange {
            water_m3_per_s: 0.002,
            rate_per_s: [0.05, 0.045, 0.047, 0.048],
        };
        let amount: f64 = phases.gas.iter().sum();
        for steps in [1_u32, 7, 100] {
            let step = Step {
                seconds: 4.0 / f64::from(steps),
                saturation: SATURATION,
            };
            let end = (0..steps).fold(phases, |phases, _| exchange.after(&phases, &step));
            for (i, saturation) in SATURATION.into_iter().enumerate() {
                let saturated = saturation * phases.gas[i] / amount;
                let expected = saturated
                    - (saturated - phases.water[i]) * (-exchange.rate_per_s[i] * 4.0).exp();
                assert!((end.water[i] / expected - 1.0).abs() < 1e-8, "{i} {steps}");
            }
        }
    }

    /// Rows M024 to M026 of `tests/data/aquaculture_checks.csv`: C* − (C* − C) e^(−k τ).
    #[test]
    fn plug_flow_of_the_check_table() {
        let mut compared = 0;
        for row in rows("aquaculture_checks.csv") {
            if &row[1] != "riser_outlet_do" {
                continue;
            }
            // "C_in 4 mg/L; C* 8.2635 (25 degC); kLa 0.05 1/s; residence 2.0 s"
            let number = |part: usize, word: usize| -> f64 {
                let part = row[2].split(';').nth(part).unwrap();
                part.split_whitespace().nth(word).unwrap().parse().unwrap()
            };
            // Any unit of concentration will do, and so much gas that it stays as it is.
            let phases = Phases {
                water: [number(0, 1), 0.0, 0.0, 0.0],
                gas: [1e12, 0.0, 0.0, 0.0],
            };
            let exchange = Exchange {
                water_m3_per_s: 1.0,
                rate_per_s: [number(2, 1); GASES],
            };
            let step = Step {
                seconds: number(3, 1),
                saturation: [number(1, 1), 1.0, 1.0, 1.0],
            };
            let got = exchange.after(&phases, &step).water[0];
            let expected: f64 = row[3].parse().unwrap();
            // C* has five digits: half a unit of the last is 6e-6 of it.
            assert!(
                (got / expected - 1.0).abs() < 6.1e-6,
                "{}: {got} {expected}",
                &row[0]
            );
            compared += 1;
        }
        assert_eq!(compared, 3);
    }

    /// Rows L016 to L021 of `tests/data/loop_checks.csv`: so much gas that it stays as it is, at a pressure that falls
    /// evenly. The saturation that the water comes to lies at or below the mean of its ends.
    #[test]
    fn a_falling_pressure_of_the_check_table() {
        let mut compared = 0;
        for row in rows("loop_checks.csv") {
            if &row[1] != "lift_pressure_falls" {
                continue;
            }
            let (foot, top) = (number(&row[3], "C_sat_foot"), number(&row[3], "C_sat_top"));
            let exchange = Exchange {
                water_m3_per_s: 1.0,
                rate_per_s: [number(&row[3], "ntu"); GASES],
            };
            let mut phases = Phases {
                water: [number(&row[3], "C_in"), 0.0, 0.0, 0.0],
                gas: [1e12, 0.0, 0.0, 0.0],
            };
            // An error of second order: at most (30/20 000)² of the fall, over 24.
            let steps = 20_000;
            for n in 0..steps {
                let t = (f64::from(n) + 0.5) / f64::from(steps);
                let step = Step {
                    seconds: 1.0 / f64::from(steps),
                    saturation: [foot + (top - foot) * t, 1.0, 1.0, 1.0],
                };
                phases = exchange.after(&phases, &step);
            }
            let (got, expected) = (phases.water[0], number(&row[4], "C_out"));
            assert!(
                (got / expected - 1.0).abs() < 1e-9,
                "{}: {got} {expected}",
                &row[0]
            );
            assert!(number(&row[4], "C_sat_effective") <= f64::midpoint(foot, top));
            compared += 1;
        }
        assert_eq!(compared, 6);
    }

    /// A number of `name=value; name=value`.
    fn number(pairs: &str, name: &str) -> f64 {
        let mut named = pairs.split("; ").filter_map(|pair| pair.split_once('='));
        named
            .find(|pair| pair.0 == name)
            .unwrap()
            .1
            .parse()
            .unwrap()
    }

    /// Rows L010 to L015 of `tests/data/loop_checks.csv`: a trace of gas among much that does not dissolve, in one step and in many.
    #[test]
    fn one_pass_that_depletes_the_gas() {
        let mut compared = 0;
        for row in rows("loop_checks.csv") {
            if &row[1] != "lift_pass_fraction" {
                continue;
            }
            let (ntu, s) = (number(&row[3], "ntu"), number(&row[3], "beta_Q_over_G"));
            let (expected, ceiling) = (number(&row[4], "E"), number(&row[4], "ceiling"));
            // Of one mole of gas a second so much; s is L h P of it then.
            let (l, saturation) = (0.5, 2.0 * s);
            let trace = 1e-13;
            let entering = if s == 0.0 { trace } else { 0.0 };
            let part = |rate: f64, steps: u32| {
                let exchange = Exchange {
                    water_m3_per_s: l,
                    rate_per_s: [rate; GASES],
                };
                let step = Step {
                    seconds: 1.0 / f64::from(steps),
                    saturation: [saturation, 0.0, 0.0, 0.0],
                };
                let start = Phases {
                    water: [entering, 0.0, 0.0, 0.0],
                    gas: [trace, 1.0, 0.0, 0.0],
                };
                let end = (0..steps).fold(start, |phases, _| exchange.after(&phases, &step));
                (end.water[0] - entering) / (saturation * trace - entering)
            };
            for steps in [1, 7, 100] {
                let got = part(ntu, steps);
                let id = &row[0];
                // 1 − e^(−x) of a small x is rounded to ε/x.
                let tolerance = 1e-9 + f64::EPSILON * f64::from(steps) / ntu;
                assert!(
                    (got / expected - 1.0).abs() < tolerance,
                    "{id} {steps}: {got}"
                );
                let most = part(1e9, steps);
                assert!((most / ceiling - 1.0).abs() < 1e-9, "{id} {steps}: {most}");
            }
            compared += 1;
        }
        assert_eq!(compared, 6);
    }

    /// Nothing gets lost, and a coefficient without bound ends in equilibrium.
    #[test]
    fn stiff_exchange_ends_in_equilibrium() {
        for rate in [1e-3, 1.0, 1e3, 1e9, 1e15] {
            let exchange = Exchange {
                water_m3_per_s: 0.002,
                rate_per_s: [rate; GASES],
            };
            let step = Step {
                seconds: 0.1,
                saturation: SATURATION,
            };
            let end = (0..50).fold(start(), |phases, _| exchange.after(&phases, &step));
            let amount: f64 = end.gas.iter().sum();
            for (i, saturation) in SATURATION.into_iter().enumerate() {
                let before = 0.002 * start().water[i] + start().gas[i];
                let now = 0.002 * end.water[i] + end.gas[i];
                assert!((now / before - 1.0).abs() < 1e-12, "{rate} {i}");
                let saturated = saturation * end.gas[i] / amount;
                if rate >= 1e3 {
                    assert!(
                        (end.water[i] / saturated - 1.0).abs() < 1e-6,
                        "{rate} {i}: {} {saturated}",
                        end.water[i]
                    );
                }
            }
        }
    }

    /// Against an explicit method of fourth order with many small steps.
    #[test]
    fn changing_gas_agrees_with_small_explicit_steps() {
        let exchange = Exchange {
            water_m3_per_s: 0.002,
            rate_per_s: [0.3, 0.27, 0.28, 0.29],
        };
        let l = exchange.water_m3_per_s;
        let total: [f64; GASES] = from_fn(|i| l * start().water[i] + start().gas[i]);
        // The pressure falls by a tenth on the way.
        let pressure = |t: f64| 1.0 - 0.025 * t;
        let slope = |t: f64, c: [f64; GASES]| -> [f64; GASES] {
            let gas: [f64; GASES] = from_fn(|i| total[i] - l * c[i]);
            let amount: f64 = gas.iter().sum();
            from_fn(|i| {
                exchange.rate_per_s[i] * (SATURATION[i] * pressure(t) * gas[i] / amount - c[i])
            })
        };
        let (mut c, small, h) = (start().water, 4000, 4.0 / 4000.0);
        for n in 0..small {
            let t = f64::from(n) * h;
            let add = |c: [f64; GASES], k: [f64; GASES], w: f64| from_fn(|i| c[i] + w * k[i]);
            let k1 = slope(t, c);
            let k2 = slope(t + 0.5 * h, add(c, k1, 0.5 * h));
            let k3 = slope(t + 0.5 * h, add(c, k2, 0.5 * h));
            let k4 = slope(t + h, add(c, k3, h));
            c = from_fn(|i| c[i] + h / 6.0 * (k1[i] + 2.0 * k2[i] + 2.0 * k3[i] + k4[i]));
        }
        let mut last = f64::NAN;
        for steps in [32_u32, 64, 128] {
            let dt = 4.0 / f64::from(steps);
            let mut phases = start();
            for n in 0..steps {
                let t = (f64::from(n) + 0.5) * dt;
                let step = Step {
                    seconds: dt,
                    saturation: SATURATION.map(|s| s * pressure(t)),
                };
                phases = exchange.after(&phases, &step);
            }
            let worst = (0..GASES)
                .map(|i| (phases.water[i] / c[i] - 1.0).abs())
                .fold(0.0, f64::max);
            println!("{steps} steps: {worst:.1e}");
            // Second order: half the step, a quarter of the error.
            assert!(last.is_nan() || worst < 0.3 * last);
            last = worst;
        }
        assert!(last < 1e-6, "{last:e}");
    }
}
