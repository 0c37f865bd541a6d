//! The balance of a riser in 256 bits, from the equations at the head of `risewater::riser`, with a quadrature of its own.
//!
//! Only the pressure at the foot is taken from the library, as the place from which Newton's method starts.

use std::sync::LazyLock;

use risewater::air::viscosity;
use risewater::riser::{BrinkHead, Outlet};
use risewater::slip::Slip;
use risewater::units::pascal;
use risewater::{Friction, OperatingPoint, Riser};

use crate::big::{Big, big, newton, pi, power_of_two, printed};
use crate::closures::{Flow, darcy, gravity, halved};

/// Difference of two Gauss rules, the second with twice the nodes, over the height, from which the second one counts.
/// Its own error is by far smaller.
const APART: f64 = 1e-16;

struct Rule {
    x: Vec<Big>,
    w: Vec<Big>,
}

static RULES: LazyLock<[Rule; 2]> = LazyLock::new(|| [12, 24].map(Rule::gauss));

impl Rule {
    fn gauss(n: u32) -> Self {
        let legendre = |z: &Big| {
            let (mut before, mut value) = (big(1.0), z.clone());
            for k in 2..=n {
                let k = big(f64::from(k));
                let next = ((big(2.0) * &k - big(1.0)) * z * &value - (&k - big(1.0)) * before) / k;
                before = std::mem::replace(&mut value, next);
            }
            let slope = big(f64::from(n)) * (z * &value - before) / (z.square() - big(1.0));
            (value, slope)
        };
        let x: Vec<Big> = (1..=n)
            .map(|i| {
                let angle = (f64::from(i) - 0.25) / (f64::from(n) + 0.5);
                newton((std::f64::consts::PI * angle).cos(), legendre)
            })
            .collect();
        let weight = |x: &Big| big(2.0) / ((big(1.0) - x.square()) * legendre(x).1.square());
        let w = x.iter().map(weight).collect();
        Self { x, w }
    }
}

/// A riser with its air, in 256 bits.
pub struct Column {
    slip: Slip,
    friction: Friction,
    developing: Big,
    d: Big,
    pub area: Big,
    free: Big,
    suction_ratio: Big,
    roughness: Big,
    submergence: Big,
    length: Big,
    suction: Big,
    k_in: Big,
    k_injector: Big,
    k_out: Big,
    outlet: Outlet,
    outlet_bore: Big,
    rho_l: Big,
    mu_l: Big,
    mu_g: Big,
    sigma: Big,
    p_v: Big,
    rt: Big,
    rho_v: Big,
    p_a: Big,
    flux: Big,
}

/// What a water flow leaves.
pub struct Balance {
    /// Pressure beyond what the height takes, Pa: the height carried beyond the one needed, times the mean gradient.
    pub excess: Big,
    pub choked: bool,
}

impl Column {
    pub fn of(riser: &Riser, point: &OperatingPoint) -> Self {
        let (spec, water) = (riser.spec(), riser.site().water);
        let free = big(spec.dimensions.bore.value) - big(spec.lost_bore.value);
        let line = big(spec.air_line.map_or(0.0, |line| line.value));
        let area = pi() / big(4.0) * (free.square() - line.square());
        let t = big(water.temperature().value);
        let rt = printed("287.055") * &t;
        let p_v = big(water.vapour_pressure().get::<pascal>());
        let (k_out, outlet_bore) = match spec.outlet {
            Outlet::Elbow { loss, bore, .. } => (
                (loss.value - 1.0).max(0.0),
                bore.unwrap_or(spec.dimensions.bore).value,
            ),
            Outlet::Plain { loss }
            | Outlet::Submerged { loss, .. }
            | Outlet::OpenTop { loss, .. } => (loss.value, 1.0),
            other => panic!("{other}"),
        };
        let model = riser.model();
        Self {
            slip: model.slip,
            friction: model.friction,
            developing: big(model.developing_length.of(spec.free_bore()).value),
            d: &free - line,
            suction_ratio: &area / (pi() / big(4.0) * free.square()),
            flux: big(point.air.dry_mass_rate().value) / &area,
            area,
            free,
            roughness: big(spec.roughness.value),
            submergence: big(spec.dimensions.submergence.value),
            length: big(spec.dimensions.submergence.value) + big(spec.dimensions.lift.value),
            suction: big(spec.suction_length.value),
            k_in: big(spec.entrance_loss.value),
            k_injector: big(spec.injector_loss.value),
            k_out: big(k_out),
            outlet: spec.outlet,
            outlet_bore: big(outlet_bore),
            rho_l: big(water.density().value),
            mu_l: big(water.viscosity().value),
            mu_g: big(viscosity(water.temperature()).unwrap().value),
            sigma: big(water.surface_tension().value),
            rho_v: &p_v / (printed("461.523") * t),
            p_v,
            rt,
            p_a: big(riser.site().atmosphere.get::<pascal>()),
        }
    }

    /// What the terms of the balance are as large as, Pa.
    pub fn size(&self) -> f64 {
        (&self.p_a + &self.rho_l * gravity() * (&self.submergence + self.length.abs())).rounded()
    }

    fn flow(&self, j_l: &Big, p: &Big) -> Flow {
        let gas = p - &self.p_v;
        Flow {
            d: self.d.clone(),
            roughness: &self.roughness / &self.d,
            j_l: j_l.clone(),
            j_g: &self.flux * &self.rt / &gas,
            rho_l: self.rho_l.clone(),
            rho_g: gas / &self.rt + &self.rho_v,
            mu_l: self.mu_l.clone(),
            mu_g: self.mu_g.clone(),
            sigma: self.sigma.clone(),
        }
    }

    /// Void fraction and M = ρ_l j_l²/(1−α) + ρ_g j_g²/α.
    fn section(&self, j_l: &Big, p: &Big) -> (Flow, Big, Big) {
        let flow = self.flow(j_l, p);
        let alpha = flow.void(self.slip);
        let liquid = &self.rho_l * j_l.square() / (big(1.0) - &alpha);
        let gas = &flow.rho_g * flow.j_g.square() / &alpha;
        (flow, alpha, liquid + gas)
    }

    /// Value and slope of a function of the pressure from two points 2⁻⁶⁴ on either side: a part in 2¹²⁸ of them is lost.
    fn with_slope(p: &Big, f: impl Fn(&Big) -> Big) -> (Big, Big) {
        let step = p * power_of_two(-64);
        let (up, down) = (f(&(p + &step)), f(&(p - &step)));
        let slope = (&up - &down) / (big(2.0) * step);
        ((up + down) / big(2.0), slope)
    }

    /// 1 + dM/dp
    fn push(&self, j_l: &Big, p: &Big) -> Big {
        Self::with_slope(p, |p| p + self.section(j_l, p).2).1
    }

    /// p0 = p_a + ρ_l g S − [1 + K_injector + (K_in + f L_s/D_s)(A/A_s)²] ρ_l j_l²/2
    fn injection(&self, j_l: &Big) -> Big {
        let j_s = j_l * &self.suction_ratio;
        let wall = if self.suction.is_positive() {
            let reynolds = &self.rho_l * &j_s * &self.free / &self.mu_l;
            darcy(&reynolds, &(&self.roughness / &self.free)) * &self.suction / &self.free
        } else {
            big(0.0)
        };
        let heads =
            (big(1.0) + &self.k_injector) * j_l.square() + (&self.k_in + wall) * j_s.square();
        &self.p_a + &self.rho_l * gravity() * &self.submergence - heads * &self.rho_l / big(2.0)
    }

    /// The larger root of p1 + M(p1) + ρ_l g α(p1) ℓ (1 − e^(−L/ℓ)) = p0 + ρ_l j_l²: there the left side rises.
    fn foot(&self, j_l: &Big, needed: &Big, start: f64) -> Big {
        let undeveloped = if self.developing.is_positive() {
            &self.developing * (big(1.0) - (-(needed / &self.developing)).exp())
        } else {
            big(0.0)
        };
        let deficit = &self.rho_l * gravity() * undeveloped;
        let target = self.injection(j_l) + &self.rho_l * j_l.square();
        let p1 = newton(start, |p| {
            Self::with_slope(p, |p| {
                let (_, alpha, m) = self.section(j_l, p);
                p + m + &deficit * alpha - &target
            })
        });
        let rises = Self::with_slope(&p1, |p| {
            let (_, alpha, m) = self.section(j_l, p);
            p + m + &deficit * alpha
        });
        assert!(rises.1.is_positive(), "the smaller root");
        p1
    }

    /// p2 = p_top + K_out G²/(2 ρ_h) at p_top, or where 1 + dM/dp = 0 if that is higher.
    fn top(&self, j_l: &Big, q: &Big) -> (Big, bool) {
        let water = match self.outlet {
            Outlet::Submerged { depth, .. } => big(depth.value),
            Outlet::Elbow {
                head: BrinkHead::ClearWater,
                ..
            } => self.brink(q),
            _ => big(0.0),
        };
        let base = &self.p_a + &self.rho_l * gravity() * water;
        let flow = self.flow(j_l, &base);
        let mass = &flow.rho_l * j_l + &flow.rho_g * &flow.j_g;
        let p2 = base + &self.k_out * mass * (j_l + &flow.j_g) / big(2.0);
        if self.push(j_l, &p2).is_positive() {
            return (p2, false);
        }
        let (mut low, mut high) = (p2.clone(), p2 * printed("1.3"));
        while !self.push(j_l, &high).is_positive() {
            low = high.clone();
            high = high * printed("1.3");
        }
        // The integrand is zero there, so that 2⁻⁶⁰ of the pressure leaves 2⁻¹²⁰ of the height.
        for _ in 0..60 {
            let middle = (&low + &high) / big(2.0);
            if self.push(j_l, &middle).is_positive() {
                high = middle;
            } else {
                low = middle;
            }
        }
        (high, true)
    }

    /// E_c = y_c + A_c/(2T) where Q² T = g A³; from y_c = 0.85 D on the velocity head of the full pipe more.
    fn brink(&self, q: &Big) -> Big {
        let d = &self.outlet_bore;
        let area = |theta: &Big| (theta - theta.sin()) / big(8.0);
        let width = |theta: &Big| (theta / big(2.0)).sin();
        let energy = |theta: &Big| {
            let depth = (big(1.0) - (theta / big(2.0)).cos()) / big(2.0);
            depth + area(theta) / (big(2.0) * width(theta))
        };
        // Q²/(g D⁵)
        let square = q.square() / (gravity() * d.powi(5));
        let full = big(2.0) * (big(1.0) - big(2.0) * printed("0.85")).acos();
        let most = area(&full).powi(3) / width(&full);
        if square >= most {
            let rise = big(8.0) / pi().square() * (square - most);
            return d * (energy(&full) + rise);
        }
        let (wanted, span) = (square.rounded().cbrt(), full.rounded());
        // ∛(Q² T/(g D⁶)) of the angle, less that of the flow: in shares of the largest angle.
        let start = span
            * halved(|share| {
                let theta = share * span;
                let cut = if theta < 1e-2 {
                    theta.powi(3) / 6.0
                } else {
                    theta - theta.sin()
                };
                wanted * (0.5 * theta).sin().cbrt() - cut / 8.0
            });
        let theta = newton(start, |theta| {
            Self::with_slope(theta, |theta| area(theta).powi(3) - &square * width(theta))
        });
        d * energy(&theta)
    }

    fn needed(&self, q: &Big) -> Big {
        match self.outlet {
            Outlet::OpenTop { head, .. } => &self.length + big(head.value),
            Outlet::Elbow {
                head: BrinkHead::Mixture,
                ..
            } => &self.length + self.brink(q),
            _ => self.length.clone(),
        }
    }

    /// The balance at a water flow.
    pub fn balance(&self, q: &Big, foot: f64) -> Balance {
        let j_l = q / &self.area;
        let needed = self.needed(q);
        let p1 = self.foot(&j_l, &needed, foot);
        let (p2, choked) = self.top(&j_l, q);
        assert!(p2 < p1, "the mouth has more pressure than the foot");
        let height = self.height(&j_l, &p2, &p1);
        Balance {
            excess: (&height - needed) * (p1 - p2) / height,
            choked,
        }
    }

    /// ∫ (1 + dM/dp)/W dp from p2 to p1 over u = ln(p − p_v), split where the closure bends.
    fn height(&self, j_l: &Big, p2: &Big, p1: &Big) -> Big {
        let mut ends: Vec<Big> = [p2.clone(), p1.clone()]
            .into_iter()
            .chain(self.bends(p2, p1))
            .collect();
        ends.sort_by(|a, b| a.partial_cmp(b).unwrap());
        let logs: Vec<Big> = ends.iter().map(|p| (p - &self.p_v).ln()).collect();
        let scale = big(APART) * self.length.abs();
        let panels = logs
            .windows(2)
            .map(|pair| self.panel(j_l, &pair[0], &pair[1], &scale, 0));
        panels.fold(big(0.0), |sum, panel| sum + panel)
    }

    fn panel(&self, j_l: &Big, low: &Big, high: &Big, scale: &Big, depth: u32) -> Big {
        let (middle, half) = ((low + high) / big(2.0), (high - low) / big(2.0));
        let [coarse, fine] = [0, 1].map(|n| {
            let rule = &RULES[n];
            let nodes = rule.x.iter().zip(&rule.w).map(|(x, w)| {
                let gas = (&middle + &half * x).exp();
                w * self.integrand(j_l, &(&self.p_v + &gas)) * gas
            });
            nodes.fold(big(0.0), |sum, node| sum + node) * &half
        });
        if (&coarse - &fine).abs() <= *scale {
            return fine;
        }
        assert!(depth < 12, "the integral does not settle");
        self.panel(j_l, low, &middle, scale, depth + 1)
            + self.panel(j_l, &middle, high, scale, depth + 1)
    }

    /// (1 + dM/dp)/{[(1−α)ρ_l + αρ_g] g + F}
    fn integrand(&self, j_l: &Big, p: &Big) -> Big {
        let step = p * power_of_two(-64);
        let [down, up] = [p - &step, p + &step].map(|p| {
            let (flow, alpha, m) = self.section(j_l, &p);
            let weight = (big(1.0) - &alpha) * &flow.rho_l + &alpha * &flow.rho_g;
            let gradient = weight * gravity() + flow.wall(self.friction, &alpha);
            (p + m, gradient)
        });
        let slope = (up.0 - down.0) / (big(2.0) * step);
        slope / ((up.1 + down.1) / big(2.0))
    }

    /// Pressures at which the slip closure passes from one branch to another.
    fn bends(&self, p2: &Big, p1: &Big) -> Vec<Big> {
        let at = match self.slip {
            Slip::BhagwatGhajar2014 | Slip::SmithDrift => vec![printed("0.025") * &self.d],
            Slip::KataokaIshii1987 => {
                let viscous = (&self.mu_l / printed("0.00225")).square();
                vec![&self.d / big(30.0), viscous / (&self.rho_l * &self.sigma)]
            }
            _ => vec![],
        };
        // La = √(σ/(g Δρ)),   (p − p_v)/(R T) = ρ_l − Δρ − p_v/(R_v T)
        let pressures = at.iter().map(|la| {
            let rho_g = &self.rho_l - &self.sigma / (gravity() * la.square());
            &self.p_v + (rho_g - &self.rho_v) * &self.rt
        });
        pressures.filter(|p| p > p2 && p < p1).collect()
    }
}
