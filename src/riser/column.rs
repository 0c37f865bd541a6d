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
use crate::error::{Error, Solve};
use crate::friction::Friction;
use crate::friction::churchill_1977::darcy;
use crate::slip::Slip;
use crate::solve::{Bracket, Tolerance, bracketed, bracketed_near};
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2 as G;

/// Residual of the foot's balance, relative to its pressure, from which the last step moves the
/// pressure alone: what else it changes is lost in rounding.
const FOOT_CLOSE: f64 = 2e-13;

/// How closely the foot's balance is met, relative to its pressure: near the rounding of f64.
const FOOT_TOLERANCE: f64 = 2e-14;

/// Water velocity that counts as none, m/s. At exactly none a closure may jump: Friedel's multiplier
/// rises with (1 − x)^0.224 from there.
pub(super) const AT_REST: f64 = 1e-9;

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
    /// Roughness over the diameter of the column.
    pub relative_roughness: f64,
    pub submergence_m: f64,
    pub lift_m: f64,
    pub suction_m: f64,
    pub k_in: f64,
    pub k_injector: f64,
    pub outlet: Kernel,
    pub rho_l: f64,
    pub mu_l: f64,
    pub sigma: f64,
    pub p_v: f64,
    /// R T of dry air, J/kg.
    pub rt: f64,
    /// Density of the vapour, p_v/(R_v T).
    pub rho_v: f64,
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

/// What a solution knows of the foot: how far p1 is below the target of its balance, and the slope
/// of the balance there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Foot {
    below: f64,
    slope: f64,
}

impl Default for Foot {
    /// The foot of a column without gas.
    fn default() -> Self {
        Self {
            below: 0.0,
            slope: 1.0,
        }
    }
}

/// The column that given flows carry.
#[derive(Debug, Clone, Copy)]
pub(super) struct Carried {
    /// Absolute pressure at the injection point, in the water alone.
    pub p0: f64,
    /// First and last section; none when the air cannot enter at all.
    pub ends: Option<(Section, Section)>,
    /// Pressure difference p1 − p2; −p_a when the air cannot enter.
    pub difference_pa: f64,
    /// Mean of the pressure gradient over the height which that difference carries, Pa/m.
    pub gradient_pa_per_m: f64,
    /// Height that the mixture must reach, m.
    pub needed_m: f64,
    /// Whether the mouth is choked.
    pub choked: bool,
}

impl Carried {
    /// Pressure difference beyond what the needed height takes, Pa.
    pub fn excess_pa(&self) -> f64 {
        self.difference_pa - self.needed_m * self.gradient_pa_per_m
    }
}

impl Column {
    /// Air mass over the column's area from a mass flow, kg/(m² s).
    pub fn air_flux(&self, air_kg_per_s: f64) -> f64 {
        air_kg_per_s / self.area_m2
    }

    /// Superficial velocity of the gas at a pressure: ṁ R T/((p − p_v) A).
    pub fn gas_velocity(&self, air_flux: f64, p: f64) -> f64 {
        air_flux * self.rt / (p - self.p_v)
    }

    /// Density of the gas at a pressure: (p − p_v)/(R T) + p_v/(R_v T).
    fn gas_density(&self, p: f64) -> f64 {
        (p - self.p_v) / self.rt + self.rho_v
    }

    /// The pressure at which the gas has a superficial velocity.
    pub fn gas_pressure(&self, air_flux: f64, j_g: f64) -> f64 {
        self.p_v + air_flux * self.rt / j_g
    }

    /// The same column with the pressures at which its slip closure bends.
    pub fn with_bends(mut self) -> Self {
        // La = √(σ/(g Δρ)),   (p − p_v)/(R T) = ρ_l − Δρ − p_v/(R_v T)
        self.bends_pa = self
            .slip
            .bends_m(self.d_m, self.rho_l, self.mu_l, self.sigma)
            .map(|la| {
                let rho_g = self.rho_l - self.sigma / (G * la * la);
                self.p_v + (rho_g - self.rho_v) * self.rt
            });
        self
    }

    /// No water flow is faster: all of the submergence spent on the water's own inlet.
    pub fn fastest_m_per_s(&self) -> f64 {
        let inlet = 1.0 + self.k_injector + self.k_in * self.suction_ratio.powi(2);
        (2.0 * G * self.submergence_m / inlet).sqrt()
    }

    pub fn section(&self, j_l: f64, air_flux: f64, p: f64) -> Section {
        let flow = Flow {
            d_m: self.d_m,
            relative_roughness: self.relative_roughness,
            j_l,
            j_g: self.gas_velocity(air_flux, p),
            rho_l: self.rho_l,
            rho_g: self.gas_density(p),
            mu_l: self.mu_l,
            mu_g: self.mu_g,
            sigma: self.sigma,
        };
        let alpha = self.slip.gas_fraction(&flow);
        // M = ρ_l j_l²/(1−α) + ρ_g j_g²/α, with nothing where a phase is absent
        let liquid = if j_l > 0.0 {
            flow.rho_l * j_l * j_l / (1.0 - alpha)
        } else {
            0.0
        };
        let gas = if flow.j_g > 0.0 {
            flow.rho_g * flow.j_g * flow.j_g / alpha
        } else {
            0.0
        };
        Section {
            p,
            flow,
            alpha,
            m: liquid + gas,
        }
    }

    /// Weight and friction of the mixture, Pa/m.
    pub fn gradient(&self, s: &Section) -> f64 {
        let weight = ((1.0 - s.alpha) * s.flow.rho_l + s.alpha * s.flow.rho_g) * G;
        weight + self.friction.gradient_pa_per_m(&s.flow, s.alpha)
    }

    /// Pressure at the injection point, in the water alone:
    /// p0 = p_a + ρ_l g S − (1 + K_in + K_injector + f L_s/D) ρ_l j_l²/2.
    fn injection_pressure(&self, j_l: f64) -> f64 {
        let j_s = j_l * self.suction_ratio;
        let wall = if self.suction_m > 0.0 && j_l > 0.0 {
            let reynolds = self.rho_l * j_s * self.suction_bore_m / self.mu_l;
            darcy(reynolds, self.roughness_m / self.suction_bore_m) * self.suction_m
                / self.suction_bore_m
        } else {
            0.0
        };
        let losses = 0.5
            * self.rho_l
            * ((1.0 + self.k_injector) * j_l * j_l + (self.k_in + wall) * j_s * j_s);
        self.p_a + self.rho_l * G * self.submergence_m - losses
    }

    /// The column that a water velocity and an air flux carry, with what a neighbouring solution knows
    /// of the foot.
    pub fn carried(&self, j_l: f64, air_flux: f64, neighbour: &mut Foot) -> Carried {
        let q = j_l * self.area_m2;
        let needed_m = self.submergence_m + self.lift_m + self.outlet.head.mixture_m(q);
        let p0 = self.injection_pressure(j_l);
        let none = Carried {
            p0,
            ends: None,
            difference_pa: -self.p_a,
            gradient_pa_per_m: self.rho_l * G,
            needed_m,
            choked: false,
        };
        let Some(foot) = self.foot(
            p0 + self.rho_l * j_l * j_l,
            j_l,
            air_flux,
            needed_m,
            neighbour,
        ) else {
            return none;
        };
        let Some((top, choked)) = self.top(j_l, air_flux, foot.p) else {
            return none;
        };
        Carried {
            ends: Some((foot, top)),
            difference_pa: foot.p - top.p,
            gradient_pa_per_m: self.mean_gradient(&top, &foot, air_flux),
            choked,
            ..none
        }
    }

    /// Length of riser that carries no void yet, λD (1 − e^(−L/(λD))).
    fn undeveloped_m(&self, length_m: f64) -> f64 {
        let developing_m = self.developing_bores * self.d_m;
        if developing_m > 0.0 && length_m > 0.0 {
            developing_m * -(-length_m / developing_m).exp_m1()
        } else {
            0.0
        }
    }

    /// The larger root of p1 + M(p1) + Δp_dev(p1) = p0 + ρ_l j_l²; none when the air is too much to
    /// enter at this pressure.
    fn foot(
        &self,
        target: f64,
        j_l: f64,
        air_flux: f64,
        length_m: f64,
        neighbour: &mut Foot,
    ) -> Option<Section> {
        // Δp_dev = ρ_l g α(p1) λD (1 − e^(−L/(λD)))
        let deficit = self.rho_l * G * self.undeveloped_m(length_m);
        let lowest = 1.001 * self.p_v + 1.0;
        if target <= lowest {
            return None;
        }
        let excess = |p: f64| {
            let s = self.section(j_l, air_flux, p);
            (p + s.m + deficit * s.alpha - target, s)
        };
        // A neighbour may lie left of the smaller root, from where no way leads to the larger one.
        let start = (target - neighbour.below).max(lowest);
        let near = falling_root(lowest, target, start, neighbour.slope, &excess);
        let (section, slope) =
            near.or_else(|| larger_root(lowest, target, &excess).map(|section| (section, 1.0)))?;
        *neighbour = Foot {
            below: target - section.p,
            slope,
        };
        Some(section)
    }

    /// The mouth: p2 = p_top + K_out G²/(2ρ_h) at the state at p_top, or the choking pressure where
    /// that is higher.
    fn top(&self, j_l: f64, air_flux: f64, p1: f64) -> Option<(Section, bool)> {
        let q = j_l * self.area_m2;
        let base = self.p_a + self.rho_l * G * self.outlet.head.water_m(q);
        let mut p2 = base;
        if self.outlet.k_out > 0.0 {
            // G²/ρ_h = G j
            let (j_g, rho_g) = (self.gas_velocity(air_flux, base), self.gas_density(base));
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
        let tolerance = Tolerance {
            relative: 1e-12,
            absolute: 0.0,
            residual: 1e-6,
            rounding: 0.0,
        };
        let p = bracketed(
            Solve::ChokePressure,
            Bracket {
                low,
                f_low,
                high,
                f_high,
            },
            tolerance,
            slope,
        )
        .ok()?;
        Some((self.section(j_l, air_flux, p), true))
    }

    /// dM/dp by a central difference.
    fn momentum_slope(&self, s: &Section, air_flux: f64) -> f64 {
        let step = 1e-5 * s.p;
        let at = |p| self.section(s.flow.j_l, air_flux, p).m;
        (at(s.p + step) - at(s.p - step)) / (2.0 * step)
    }

    /// Pressure that is lost in the tolerance of the foot's pressure.
    pub fn rounding_pa(&self) -> f64 {
        2.0 * FOOT_TOLERANCE
            * (self.p_a + self.rho_l * G * (self.submergence_m + self.lift_m.abs()))
    }

    /// Largest excess that still counts as none: that of a millionth of the column's length.
    pub fn residual_pa(&self) -> f64 {
        1e-6 * self.rho_l * G * (2.0 * self.submergence_m + self.lift_m.abs())
    }

    /// Water velocity at an air flux; none when nothing flows.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn water_velocity(&self, air_flux: f64) -> Result<Option<(f64, Carried)>, Error> {
        let mut foot = Foot::default();
        let still = self.carried(AT_REST, air_flux, &mut foot);
        if still.excess_pa() <= self.rounding_pa() {
            return Ok(None);
        }
        let fastest = self.fastest_m_per_s();
        // At the fastest flow the foot is below the atmosphere, and nothing is carried.
        let bracket = Bracket {
            low: AT_REST,
            f_low: still.excess_pa(),
            high: fastest,
            f_high: -self.p_a,
        };
        let tolerance = Tolerance {
            relative: 5e-10,
            absolute: 1e-13,
            residual: self.residual_pa(),
            rounding: self.rounding_pa(),
        };
        let mut last = (AT_REST, still);
        let (guess, bend) = self.guess(&still, air_flux, fastest);
        let j_l = bracketed_near(Solve::WaterFlow, guess, bend, bracket, tolerance, |j_l| {
            last = (j_l, self.carried(j_l, air_flux, &mut foot));
            last.1.excess_pa()
        })?;
        if last.0 != j_l {
            last = (j_l, self.carried(j_l, air_flux, &mut foot));
        }
        Ok(Some(last))
    }

    /// A first guess of the water velocity, and the velocity beyond which the void falls as its inverse:
    /// the column as one section, with the textbook's void.
    ///
    /// The void carries the lift, the losses and the friction:
    ///
    /// ```text
    /// α (L − L_dev) = L − (p0 − p2)/(ρ_l g) + [(1 + K) j_l² + f L/D j_l (j_l + j_g)]/(2 g)
    /// α = j_g/[1.2 (j_l + j_g) + 0.35 √(g D)]        f = 0.03
    /// ```
    fn guess(&self, still: &Carried, air_flux: f64, fastest: f64) -> (f64, f64) {
        let p2 = still.ends.map_or(self.p_a, |(_, top)| top.p);
        let length_m = still.needed_m;
        let j_g = self.gas_velocity(air_flux, (still.p0 * p2).sqrt());
        let gas = 1.2 * j_g + 0.35 * (G * self.d_m).sqrt();
        let carrying_m = j_g * (length_m - self.undeveloped_m(length_m));
        let lift_m = length_m - (still.p0 - p2) / (self.rho_l * G);
        let wall = 0.015 * length_m / (self.d_m * G);
        // (1 + K)/(2 g) is what makes the fastest flow the fastest.
        let square = self.submergence_m / (fastest * fastest) + wall;
        // Newton's method from the fast side, where the difference of the two sides is convex.
        let mut j_l = fastest;
        for _ in 0..12 {
            let head_m = lift_m + (square * j_l + wall * j_g) * j_l;
            let off = head_m * (gas + 1.2 * j_l) - carrying_m;
            let slope = (2.0 * square * j_l + wall * j_g) * (gas + 1.2 * j_l) + 1.2 * head_m;
            j_l -= off / slope;
        }
        (
            if j_l > 0.0 && j_l < fastest {
                j_l
            } else {
                0.1 * fastest
            },
            gas / 1.2,
        )
    }
}

/// The root of a convex excess by secants from its right, and the slope there; none when they leave
/// the rising side.
fn falling_root(
    lowest: f64,
    target: f64,
    start: f64,
    slope: f64,
    excess: &impl Fn(f64) -> (f64, Section),
) -> Option<(Section, f64)> {
    let (mut x, mut slope) = (start, slope);
    let (mut fx, mut s) = excess(x);
    for _ in 0..12 {
        if !slope.is_finite() || slope <= 0.0 {
            return None;
        }
        let y = x - fx / slope;
        if fx.abs() <= FOOT_CLOSE * target {
            return Some((Section { p: y, ..s }, slope));
        }
        if y <= lowest {
            return None;
        }
        let fy;
        (fy, s) = excess(y);
        slope = (fy - fx) / (y - x);
        (x, fx) = (y, fy);
    }
    None
}

/// The larger root below a pressure at which the excess is above zero. Above that root the excess is
/// nearly always convex with a slope of at most 1, so that secants from the right fall to it; once a
/// point below it is known they are kept between.
fn larger_root(
    lowest: f64,
    highest: f64,
    excess: &impl Fn(f64) -> (f64, Section),
) -> Option<Section> {
    let (mut low, mut high) = (None, highest);
    let mut x = highest;
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
        if fy.abs() <= FOOT_TOLERANCE * highest || (y - x).abs() <= 1e-15 * y {
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
