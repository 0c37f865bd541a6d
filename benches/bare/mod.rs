//! The default model in bare numbers, written apart from the library.
//!
//! It serves twice: the time of one cross-section is the measure for the time of a solve, and its
//! slow and certain solve is the measure for the error of a solve. The equations are those of
//! `risewater::riser`, `risewater::slip::bhagwat_ghajar_2014` and `risewater::friction::homogeneous`.

use risewater::units::pascal;
use risewater::{AirFlow, Riser};

const G: f64 = 9.80665;
const R: f64 = 287.055;
const R_V: f64 = 461.523;
/// Halvings of the pressure step before the integral is given up.
const LEVELS: usize = 14;

/// A plain riser without fittings at the top and without a suction pipe, in SI units.
#[derive(Debug, Clone, Copy)]
pub struct Bare {
    bore: f64,
    relative_roughness: f64,
    submergence: f64,
    length: f64,
    k_in: f64,
    developing: f64,
    rho_l: f64,
    mu_l: f64,
    sigma: f64,
    p_v: f64,
    t: f64,
    p_a: f64,
}

/// Void fraction, momentum flux and pressure gradient of one cross-section.
#[derive(Debug, Clone, Copy)]
pub struct Node {
    pub alpha: f64,
    pub momentum: f64,
    pub gradient: f64,
}

impl Bare {
    pub fn of(riser: &Riser) -> Self {
        let (spec, water) = (riser.spec(), &riser.site().water);
        let bore = spec.dimensions.bore.value;
        Self {
            bore,
            relative_roughness: spec.roughness.value / bore,
            submergence: spec.dimensions.submergence.value,
            length: spec.length().value,
            k_in: spec.entrance_loss.value,
            developing: riser
                .model()
                .developing_length
                .of(riser.spec().free_bore())
                .value,
            rho_l: water.density().value,
            mu_l: water.viscosity().value,
            sigma: water.surface_tension().value,
            p_v: water.vapour_pressure().get::<pascal>(),
            t: water.temperature().value,
            p_a: riser.site().atmosphere.get::<pascal>(),
        }
    }

    pub fn area(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.bore * self.bore
    }

    pub fn flux(&self, air: AirFlow) -> f64 {
        air.dry_mass_rate().value / self.area()
    }

    /// One cross-section: the unit of work of a solve.
    pub fn node(&self, j_l: f64, flux: f64, p: f64) -> Node {
        let j_g = flux * R * self.t / (p - self.p_v);
        let rho_g = (p - self.p_v) / (R * self.t) + self.p_v / (R_V * self.t);
        let (j, g) = (j_l + j_g, self.rho_l * j_l + rho_g * j_g);
        let reynolds = self.rho_l * j * self.bore / self.mu_l;
        let c01 = 0.2
            * (1.0 - (rho_g / self.rho_l).sqrt())
            * ((2.6 - j_g / j).powf(0.15) - (0.25 * self.darcy(reynolds)).sqrt())
            * (self.rho_l * j_l / g).powf(1.5);
        let c0 = (2.0 - (rho_g / self.rho_l).powi(2)) / (1.0 + (reynolds / 1000.0).powi(2))
            + (1.0 + c01) / (1.0 + (1000.0 / reynolds).powi(2));
        let la = (self.sigma / (G * (self.rho_l - rho_g))).sqrt() / self.bore;
        let c3 = if la < 0.025 {
            (la / 0.025).powf(0.9)
        } else {
            1.0
        };
        let v = 0.35 * (G * self.bore * (self.rho_l - rho_g) / self.rho_l).sqrt() * c3;
        // (1 − s²)(C₀ j + V s) = j_g by Newton's method from above.
        let mut s = (1.0 - j_g / (c0 * j + v)).sqrt();
        for _ in 0..50 {
            let h = (1.0 - s * s) * (c0 * j + v * s) - j_g;
            let step = h / (v * (1.0 - s * s) - 2.0 * s * (c0 * j + v * s));
            s -= step;
            if step.abs() < 1e-9 {
                break;
            }
        }
        let alpha = 1.0 - s * s;
        let friction = self.darcy(g * self.bore / self.mu_l) * g * j / (2.0 * self.bore);
        Node {
            alpha,
            momentum: self.rho_l * j_l * j_l / (1.0 - alpha) + rho_g * j_g * j_g / alpha,
            gradient: ((1.0 - alpha) * self.rho_l + alpha * rho_g) * G + friction,
        }
    }

    fn darcy(&self, reynolds: f64) -> f64 {
        let a = (2.457
            * (1.0 / ((7.0 / reynolds).powf(0.9) + 0.27 * self.relative_roughness)).ln())
        .powi(16);
        let b = (37530.0 / reynolds).powi(16);
        8.0 * ((8.0 / reynolds).powi(12) + (a + b).powf(-1.5)).powf(1.0 / 12.0)
    }

    /// Water flow at an air flux, m³/s: bisection all through, the integral by Romberg's method.
    pub fn water_flow(&self, flux: f64) -> f64 {
        let (mut low, mut high) = (0.0, (2.0 * G * self.submergence).sqrt());
        for _ in 0..60 {
            let j_l = 0.5 * (low + high);
            if self
                .height(j_l, flux)
                .is_some_and(|height| height > self.length)
            {
                low = j_l;
            } else {
                high = j_l;
            }
        }
        0.5 * (low + high) * self.area()
    }

    /// Height that the flows carry, ∫ d(p + M)/W; none without a foot.
    fn height(&self, j_l: f64, flux: f64) -> Option<f64> {
        let p1 = self.foot(j_l, flux)?;
        let node = |p: f64| {
            let node = self.node(j_l, flux, p);
            (p + node.momentum, 1.0 / node.gradient)
        };
        // The trapezoidal sums of the curve W⁻¹ over p + M have an error in even powers of the step,
        // which halving takes out term by term.
        let mut row = [0.0; LEVELS];
        for level in 0..LEVELS {
            let steps = 4_u32 << level;
            let at = |n: u32| node(self.p_a + (p1 - self.p_a) * f64::from(n) / f64::from(steps));
            let mut sum = 0.0;
            let mut before = at(0);
            for n in 1..=steps {
                let here = at(n);
                sum += 0.5 * (before.1 + here.1) * (here.0 - before.0);
                before = here;
            }
            let last = row[level.saturating_sub(1)];
            let mut power = 1.0;
            for cell in &mut row[..level] {
                power *= 4.0;
                let better = sum + (sum - *cell) / (power - 1.0);
                *cell = std::mem::replace(&mut sum, better);
            }
            row[level] = sum;
            if level > 2 && (sum - last).abs() < 1e-13 * sum.abs() {
                break;
            }
        }
        row.iter().rev().find(|value| **value != 0.0).copied()
    }

    /// The larger root of the balance at the foot, from above.
    fn foot(&self, j_l: f64, flux: f64) -> Option<f64> {
        let deficit =
            self.rho_l * G * self.developing * (1.0 - (-self.length / self.developing).exp());
        let target = self.p_a
            + self.rho_l * G * self.submergence
            + 0.5 * (1.0 - self.k_in) * self.rho_l * j_l * j_l;
        let off = |p: f64| {
            let node = self.node(j_l, flux, p);
            p + node.momentum + deficit * node.alpha - target
        };
        let mut p = target;
        for _ in 0..200 {
            if p <= self.p_a {
                return None;
            }
            let step = off(p) / ((off(p + 1.0) - off(p - 1.0)) / 2.0);
            p -= step;
            if step.abs() < 1e-9 {
                return Some(p);
            }
        }
        None
    }
}

/// A fixed piece of arithmetic, to compare times across machines: the sum of n^(−n/1000) for n to
/// 1000, each a logarithm, an exponential and a division.
pub fn reference_loop() -> f64 {
    (1..=1000)
        .map(|n| (-f64::from(n) / 1000.0 * f64::from(n).ln()).exp())
        .sum()
}
