//! The momentum balance of the two-phase column, in plain SI.
//!
//! With a constant bore everything in the balance depends on pressure alone, so that the height
//! which a pressure difference carries is a quadrature over pressure:
//!
//! ```text
//! L = ∫_{p2}^{p1} (1 + dM/dp) / {[(1−α)ρ_l + αρ_g] g + F} dp
//! M = ρ_l j_l²/(1−α) + ρ_g j_g²/α
//! ```

use super::outlet::Kernel;
use super::quadrature::{MOST, RULES, Rule};
use crate::air::{DRY_AIR_GAS_CONSTANT, VAPOUR_GAS_CONSTANT};
use crate::error::{Error, Solve};
use crate::friction::Friction;
use crate::friction::churchill_1977::darcy;
use crate::slip::Slip;
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2 as G;

/// Mixture Reynolds numbers between which the closures change from laminar to turbulent: the
/// integral is split there.
const TRANSITION: [f64; 4] = [1000.0, 2000.0, 2600.0, 4000.0];

/// Everything about a riser that does not change with the flows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    pub slip: Slip,
    pub friction: Friction,
    pub developing_bores: f64,
    /// Hydraulic diameter of the two-phase column.
    pub d_m: f64,
    /// Cross-section of the two-phase column.
    pub area_m2: f64,
    /// Bore of the suction pipe, and its velocity over that of the column.
    pub suction_bore_m: f64,
    pub suction_ratio: f64,
    pub roughness_m: f64,
    pub submergence_m: f64,
    pub lift_m: f64,
    pub suction_m: f64,
    pub k_in: f64,
    pub outlet: Kernel,
    pub rho_l: f64,
    pub mu_l: f64,
    pub sigma: f64,
    pub p_v: f64,
    pub t_k: f64,
    pub mu_g: f64,
    pub p_a: f64,
    /// Pressures at which the slip closure bends; NaN for none.
    pub bends_pa: [f64; 2],
}

/// One cross-section: pressure, local flow, void fraction and momentum flux.
#[derive(Debug, Clone, Copy)]
pub(super) struct Section {
    pub p: f64,
    pub flow: Flow,
    pub alpha: f64,
    pub m: f64,
}

/// The column that given flows carry.
#[derive(Debug, Clone, Copy)]
pub(super) struct Carried {
    /// Absolute pressure at the injection point, in the water alone.
    pub p0: f64,
    /// First and last section; none when the air cannot enter at all.
    pub ends: Option<(Section, Section)>,
    /// Height that the pressure difference carries, m; not above zero when there is none.
    pub height_m: f64,
    /// Height that the mixture must reach, m.
    pub needed_m: f64,
    /// Whether the mouth is choked.
    pub choked: bool,
}

impl Carried {
    /// What the column carries beyond what it must, m.
    pub fn excess_m(&self) -> f64 {
        self.height_m - self.needed_m
    }
}

impl Column {
    /// Air mass over the column's area from a mass flow, kg/(m² s).
    pub fn air_flux(&self, air_kg_per_s: f64) -> f64 {
        air_kg_per_s / self.area_m2
    }

    /// Superficial velocity of the gas at a pressure: ṁ R T/((p − p_v) A).
    pub fn gas_velocity(&self, air_flux: f64, p: f64) -> f64 {
        air_flux * DRY_AIR_GAS_CONSTANT * self.t_k / (p - self.p_v)
    }

    /// The same column with the pressures at which its slip closure bends.
    pub fn with_bends(mut self) -> Self {
        // La = √(σ/(g Δρ)),   (p − p_v)/(R T) = ρ_l − Δρ − p_v/(R_v T)
        self.bends_pa = self.slip.bends_m(self.d_m, self.rho_l, self.mu_l, self.sigma).map(|la| {
            let rho_g = self.rho_l - self.sigma / (G * la * la);
            self.p_v + (rho_g - self.p_v / (VAPOUR_GAS_CONSTANT * self.t_k)) * DRY_AIR_GAS_CONSTANT * self.t_k
        });
        self
    }

    /// No water flow is faster: all of the submergence spent on the water's own inlet.
    pub fn fastest_m_per_s(&self) -> f64 {
        let inlet = 1.0 + self.k_in * self.suction_ratio.powi(2);
        (2.0 * G * self.submergence_m / inlet).sqrt()
    }

    pub fn section(&self, j_l: f64, air_flux: f64, p: f64) -> Section {
        let flow = Flow {
            d_m: self.d_m,
            relative_roughness: self.roughness_m / self.d_m,
            j_l,
            j_g: self.gas_velocity(air_flux, p),
            rho_l: self.rho_l,
            // ρ_g = (p − p_v)/(R T) + p_v/(R_v T)
            rho_g: (p - self.p_v) / (DRY_AIR_GAS_CONSTANT * self.t_k) + self.p_v / (VAPOUR_GAS_CONSTANT * self.t_k),
            mu_l: self.mu_l,
            mu_g: self.mu_g,
            sigma: self.sigma,
        };
        let alpha = self.slip.gas_fraction(&flow);
        // M = ρ_l j_l²/(1−α) + ρ_g j_g²/α, with nothing where a phase is absent
        let liquid = if j_l > 0.0 { flow.rho_l * j_l * j_l / (1.0 - alpha) } else { 0.0 };
        let gas = if flow.j_g > 0.0 { flow.rho_g * flow.j_g * flow.j_g / alpha } else { 0.0 };
        Section { p, flow, alpha, m: liquid + gas }
    }

    /// Weight and friction of the mixture, Pa/m.
    pub fn gradient(&self, s: &Section) -> f64 {
        let weight = ((1.0 - s.alpha) * s.flow.rho_l + s.alpha * s.flow.rho_g) * G;
        weight + self.friction.gradient_pa_per_m(&s.flow, s.alpha)
    }

    /// Pressure at the injection point, in the water alone:
    /// p0 = p_a + ρ_l g S − (1 + K_in + f L_s/D) ρ_l j_l²/2.
    fn injection_pressure(&self, j_l: f64) -> f64 {
        let j_s = j_l * self.suction_ratio;
        let wall = if self.suction_m > 0.0 && j_l > 0.0 {
            let reynolds = self.rho_l * j_s * self.suction_bore_m / self.mu_l;
            darcy(reynolds, self.roughness_m / self.suction_bore_m) * self.suction_m / self.suction_bore_m
        } else {
            0.0
        };
        let losses = 0.5 * self.rho_l * (j_l * j_l + (self.k_in + wall) * j_s * j_s);
        self.p_a + self.rho_l * G * self.submergence_m - losses
    }

    /// The column that a water velocity and an air flux carry. `foot_guess` is p0 − p1 of a
    /// neighbouring solution, or zero.
    pub fn carried(&self, j_l: f64, air_flux: f64, foot_guess: &mut f64) -> Carried {
        let q = j_l * self.area_m2;
        let needed_m = self.submergence_m + self.lift_m + self.outlet.head.mixture_m(q);
        let p0 = self.injection_pressure(j_l);
        let none = Carried { p0, ends: None, height_m: 0.0, needed_m, choked: false };
        let Some(foot) = self.foot(p0 + self.rho_l * j_l * j_l, j_l, air_flux, needed_m, foot_guess) else {
            return none;
        };
        let Some((top, choked)) = self.top(j_l, air_flux, foot.p) else { return none };
        let height_m = if foot.p > top.p {
            self.height(&top, &foot, air_flux)
        } else {
            // No column at all; the height that is missing, as clear water.
            (foot.p - top.p) / (self.rho_l * G)
        };
        Carried { ends: Some((foot, top)), height_m, choked, ..none }
    }

    /// The larger root of p1 + M(p1) + Δp_dev(p1) = p0 + ρ_l j_l²; none when the air is too much to
    /// enter at this pressure.
    fn foot(&self, target: f64, j_l: f64, air_flux: f64, length_m: f64, guess: &mut f64) -> Option<Section> {
        let developing_m = self.developing_bores * self.d_m;
        // Δp_dev = ρ_l g α(p1) λD (1 − e^(−L/(λD)))
        let deficit = if developing_m > 0.0 && length_m > 0.0 {
            self.rho_l * G * developing_m * -(-length_m / developing_m).exp_m1()
        } else {
            0.0
        };
        let excess = |p: f64| {
            let s = self.section(j_l, air_flux, p);
            (p + s.m + deficit * s.alpha - target, s)
        };
        let lowest = 1.001 * self.p_v + 1.0;
        if target <= lowest {
            return None;
        }
        // A guess may lie left of the smaller root, from where no way leads to the larger one.
        let start = target - *guess;
        let near = if *guess != 0.0 && start > lowest { larger_root(lowest, target, start, &excess) } else { None };
        let found = near.or_else(|| larger_root(lowest, target, target, &excess))?;
        *guess = target - found.p;
        Some(found)
    }

    /// The mouth: p2 = p_top + K_out G²/(2ρ_h) at the state at p_top, or the choking pressure where
    /// that is higher.
    fn top(&self, j_l: f64, air_flux: f64, p1: f64) -> Option<(Section, bool)> {
        let q = j_l * self.area_m2;
        let base = self.p_a + self.rho_l * G * self.outlet.head.water_m(q);
        let mut p2 = base;
        if self.outlet.k_out > 0.0 {
            // G²/ρ_h = G j
            let j_g = self.gas_velocity(air_flux, base);
            let rho_g = (base - self.p_v) / (DRY_AIR_GAS_CONSTANT * self.t_k) + self.p_v / (VAPOUR_GAS_CONSTANT * self.t_k);
            p2 += 0.5 * self.outlet.k_out * (self.rho_l * j_l + rho_g * j_g) * (j_l + j_g);
        }
        let top = self.section(j_l, air_flux, p2);
        // M changes about as 1/p: only a momentum flux near the pressure itself can choke.
        if top.m < 0.2 * p2 || 1.0 + self.momentum_slope(&top, air_flux) > 0.0 {
            return Some((top, false));
        }
        let slope = |p: f64| 1.0 + self.momentum_slope(&self.section(j_l, air_flux, p), air_flux);
        let (mut low, mut f_low, mut high) = (p2, slope(p2), 1.3 * p2);
        let mut f_high = slope(high);
        while f_high <= 0.0 {
            if high > p1.max(p2) * 1e3 {
                return None;
            }
            (low, f_low, high) = (high, f_high, 1.3 * high);
            f_high = slope(high);
        }
        let tolerance = Tolerance { relative: 1e-12, absolute: 0.0, residual: 1e-6 };
        let p = bracketed(Solve::ChokePressure, Bracket { low, f_low, high, f_high }, tolerance, slope).ok()?;
        Some((self.section(j_l, air_flux, p), true))
    }

    /// dM/dp by a central difference.
    fn momentum_slope(&self, s: &Section, air_flux: f64) -> f64 {
        let step = 1e-5 * s.p;
        let at = |p| self.section(s.flow.j_l, air_flux, p).m;
        (at(s.p + step) - at(s.p - step)) / (2.0 * step)
    }

    /// ∫ (1 + dM/dp)/W dp from the top to the foot.
    fn height(&self, top: &Section, foot: &Section, air_flux: f64) -> f64 {
        let j_l = top.flow.j_l;
        let scale = self.mu_l / (self.rho_l * self.d_m);
        let (slow, fast) = (foot.flow.j() / scale, top.flow.j() / scale);
        let crossing = slow < TRANSITION[3] && fast > TRANSITION[0];
        // Pressure over which the gas expands; M steep in p asks for more nodes too.
        let expansion = (foot.p - self.p_v) / (top.p - self.p_v);
        let order = if crossing || expansion > 2.5 || top.m > 0.05 * top.p {
            2
        } else {
            usize::from(expansion > 1.2)
        };
        let rule = &RULES[order];
        let within = |p: f64| p > top.p && p < foot.p;
        if !crossing && !self.bends_pa.iter().any(|p| within(*p)) {
            return self.wide_panel(top, foot, air_flux, rule);
        }
        let mut splits = [f64::NAN; TRANSITION.len() + 2];
        splits[TRANSITION.len()..].copy_from_slice(&self.bends_pa);
        if crossing {
            for (split, reynolds) in splits.iter_mut().zip(TRANSITION) {
                *split = self.p_v + self.gas_velocity(air_flux, self.p_v + 1.0) / (reynolds * scale - j_l);
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

    /// A panel, halved in the logarithm of the gas pressure while it spans a large expansion.
    fn wide_panel(&self, low: &Section, high: &Section, air_flux: f64, rule: &Rule) -> f64 {
        let (a, b) = (low.p - self.p_v, high.p - self.p_v);
        if b <= 8.0 * a {
            return self.panel(low, high, air_flux, rule);
        }
        let middle = self.section(low.flow.j_l, air_flux, self.p_v + (a * b).sqrt());
        self.wide_panel(low, &middle, air_flux, rule) + self.wide_panel(&middle, high, air_flux, rule)
    }

    fn panel(&self, low: &Section, high: &Section, air_flux: f64, rule: &Rule) -> f64 {
        let (middle, half) = (0.5 * (low.p + high.p), 0.5 * (high.p - low.p));
        if half == 0.0 {
            return 0.0;
        }
        let n = rule.nodes;
        let mut m = [0.0; MOST + 2];
        let mut inverse = [0.0; MOST];
        m[0] = low.m;
        m[n + 1] = high.m;
        for i in 0..n {
            let s = self.section(low.flow.j_l, air_flux, middle + half * rule.x[i]);
            m[i + 1] = s.m;
            inverse[i] = 1.0 / self.gradient(&s);
        }
        // half (1 + dM/dp) = half + dM/dx
        (0..n)
            .map(|i| {
                let slope: f64 = rule.d[i][..n + 2].iter().zip(&m[..n + 2]).map(|(d, m)| d * m).sum();
                rule.w[i] * (half + slope) * inverse[i]
            })
            .sum()
    }

    /// Water velocity at an air flux; none when nothing flows.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn water_velocity(&self, air_flux: f64) -> Result<Option<(f64, Carried)>, Error> {
        let mut guess = 0.0;
        let still = self.carried(0.0, air_flux, &mut guess);
        if still.excess_m() <= 0.0 {
            return Ok(None);
        }
        let fastest = self.fastest_m_per_s();
        // At the fastest flow the foot is below the atmosphere, and nothing is carried.
        let bracket = Bracket { low: 0.0, f_low: still.excess_m(), high: fastest, f_high: -still.needed_m.max(0.0) - self.submergence_m };
        let tolerance = Tolerance { relative: 1e-8, absolute: 1e-13, residual: 1e-6 * (self.submergence_m + still.needed_m.abs()) };
        let mut last = still;
        let j_l = bracketed(Solve::WaterFlow, bracket, tolerance, |j_l| {
            last = self.carried(j_l, air_flux, &mut guess);
            last.excess_m()
        })?;
        Ok(Some((j_l, last)))
    }
}

/// The larger root between two pressures, of which the upper one has an excess above zero. Above
/// that root the excess is nearly always convex with a slope of at most 1, so that secants from the
/// right fall to it and stop there; once a point below it is known they are kept between.
fn larger_root(lowest: f64, highest: f64, start: f64, excess: &impl Fn(f64) -> (f64, Section)) -> Option<Section> {
    let (mut low, mut high) = (None, highest);
    let mut x = start;
    let (mut fx, _) = excess(x);
    let mut y = x - fx;
    for _ in 0..60 {
        if fx < 0.0 {
            low = Some(x);
        } else {
            high = x;
        }
        match low {
            Some(low) if !(y > low && y < high) => y = 0.5 * (low + high),
            None if y <= lowest => y = 0.5 * (lowest + x),
            _ => {}
        }
        let (fy, s) = excess(y);
        if fy.abs() <= 2e-13 * highest || (y - x).abs() <= 1e-14 * y {
            return Some(s);
        }
        let slope = (fy - fx) / (y - x);
        if low.is_none() && fy > 0.0 && (slope.is_nan() || slope <= 0.0) {
            return None;
        }
        (x, fx, y) = (y, fy, y - fy / slope);
    }
    None
}
