//! The height that a pressure difference carries.
//!
//! ```text
//! L = ∫_{p2}^{p1} (1 + dM/dp)/W dp        W = [(1−α)ρ_l + αρ_g] g + F
//! ```
//!
//! taken over u = ln(p − p_v), in which the volume of the gas is an exponential and the integrand
//! nearly a straight line: few nodes do.

use super::column::{Column, Section};
use super::quadrature::{MOST, RULES, Rule};

/// Mixture Reynolds numbers between which the closures change from laminar to turbulent: the
/// integral is split there, and where the slip closure bends.
const TRANSITION: [f64; 4] = [1000.0, 2000.0, 2600.0, 4000.0];

/// Expansions of the gas up to which a rule does, coarse to fine.
const EXPANSION: [f64; 4] = [1.12, 1.4, 2.0, 4.0];

/// Largest expansion of one panel.
const WIDEST: f64 = 8.0;

impl Column {
    /// (p1 − p2)/L: the mean of the gradient over the height from top to foot, Pa/m; that at the top
    /// when the foot's pressure is the lower one.
    pub fn mean_gradient(&self, top: &Section, foot: &Section, air_flux: f64) -> f64 {
        if foot.p <= top.p {
            self.gradient(top)
        } else {
            (foot.p - top.p) / self.height(top, foot, air_flux)
        }
    }

    pub fn height(&self, top: &Section, foot: &Section, air_flux: f64) -> f64 {
        let j_l = top.flow.j_l;
        let scale = self.mu_l / (self.rho_l * self.d_m);
        let crossing = foot.flow.j() < TRANSITION[3] * scale && top.flow.j() > TRANSITION[0] * scale;
        let expansion = (foot.p - self.p_v) / (top.p - self.p_v);
        let rule = &RULES[if crossing { RULES.len() - 1 } else { EXPANSION.iter().filter(|limit| expansion > **limit).count() }];
        let within = |p: f64| p > top.p && p < foot.p;
        if !crossing && !self.bends_pa.iter().any(|p| within(*p)) {
            return self.wide_panel(top, foot, air_flux, rule);
        }
        let mut splits = [f64::NAN; TRANSITION.len() + 2];
        splits[TRANSITION.len()..].copy_from_slice(&self.bends_pa);
        if crossing {
            for (split, reynolds) in splits.iter_mut().zip(TRANSITION) {
                *split = self.gas_pressure(air_flux, reynolds * scale - j_l);
            }
        }
        splits.sort_by(f64::total_cmp);
        let (mut sum, mut below) = (0.0, *top);
        for p in splits.into_iter().filter(|p| within(*p)) {
            let split = self.section(j_l, air_flux, p);
            sum += self.wide_panel(&below, &split, air_flux, rule);
            below = split;
        }
        sum + self.wide_panel(&below, foot, air_flux, rule)
    }

    /// A panel, halved while it spans a large expansion.
    fn wide_panel(&self, low: &Section, high: &Section, air_flux: f64, rule: &Rule) -> f64 {
        let (a, b) = (low.p - self.p_v, high.p - self.p_v);
        if b <= WIDEST * a {
            return self.panel(low, high, air_flux, rule);
        }
        let middle = self.section(low.flow.j_l, air_flux, self.p_v + (a * b).sqrt());
        self.wide_panel(low, &middle, air_flux, rule) + self.wide_panel(&middle, high, air_flux, rule)
    }

    fn panel(&self, low: &Section, high: &Section, air_flux: f64, rule: &Rule) -> f64 {
        // u = ln(p − p_v) = middle + half x,   dp/dx = half (p − p_v)
        let (a, b) = (low.p - self.p_v, high.p - self.p_v);
        let (middle, half) = ((a * b).sqrt(), 0.5 * ((high.p - low.p) / a).ln_1p());
        let last = rule.nodes - 1;
        let mut m = [0.0; MOST];
        let mut slope = [0.0; MOST];
        let mut gradient = [1.0; MOST];
        for i in 0..=last {
            let inner;
            let s = match i {
                0 => low,
                _ if i == last => high,
                _ => {
                    inner = self.section(low.flow.j_l, air_flux, self.p_v + middle * (half * rule.x[i]).exp());
                    &inner
                }
            };
            (m[i], slope[i], gradient[i]) = (s.m, half * (s.p - self.p_v), self.gradient(s));
        }
        (0..=last)
            .map(|i| {
                let momentum_slope: f64 = rule.d[i][..=last].iter().zip(&m).map(|(d, m)| d * m).sum();
                rule.w[i] * (slope[i] + momentum_slope) / gradient[i]
            })
            .sum()
    }
}
