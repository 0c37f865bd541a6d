//! The momentum balance of the two-phase column, in plain SI.
//!
//! With a constant bore everything in the balance depends on pressure alone, so that the height
//! which a pressure difference carries is a quadrature over pressure:
//!
//! ```text
//! L = ∫_{p2}^{p1} (1 + dM/dp) / {[(1−α)ρ_l + αρ_g] g + F} dp
//! M = ρ_l j_l²/(1−α) + ρ_g j_g²/α
//! ```

use super::ends::Foot;
use super::outlet::Kernel;
use crate::error::Error;
use crate::friction::{Along, Friction};
use crate::pipe::churchill_1977::darcy;
use crate::slip::InPipe;
use crate::two_phase::Flow;
use crate::units::GRAVITY_M_PER_S2 as G;

/// Water velocity that counts as none, m/s. At exactly none a closure may jump: Friedel's multiplier
/// rises with (1 − x)^0.224 from there.
pub(super) const AT_REST: f64 = 1e-9;

/// Everything about a riser that does not change with the flows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Column {
    pub slip: InPipe,
    pub friction: Friction,
    /// Developing length ℓ, with the bore of the pipe even where an air line narrows it.
    pub developing_m: f64,
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
    /// Pressures at which the slip closure bends; above all that gas has for none, so that equal columns are equal.
    pub bends_pa: [f64; 2],
}

/// One cross-section: pressure, superficial velocities, density of the gas, void fraction and momentum flux.
#[derive(Debug, Clone, Copy)]
pub(super) struct Section {
    pub p: f64,
    pub j_l: f64,
    pub j_g: f64,
    pub rho_g: f64,
    pub alpha: f64,
    pub m: f64,
}

impl Section {
    /// Mixture velocity, m/s.
    pub fn j(&self) -> f64 {
        self.j_l + self.j_g
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
    /// How far the foot is below the target of its balance, p0 + ρ_l j_l²; no number where no air enters.
    pub fn below_pa(&self, rho_l: f64) -> f64 {
        self.ends.as_ref().map_or(f64::NAN, |(foot, _)| {
            self.p0 + rho_l * foot.j_l * foot.j_l - foot.p
        })
    }

    /// The same column where the water moves by next to nothing more.
    pub fn moved(mut self, j_l: f64) -> Self {
        if let Some((foot, top)) = &mut self.ends {
            (foot.j_l, top.j_l) = (j_l, j_l);
        }
        self
    }

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
    pub fn gas_density(&self, p: f64) -> f64 {
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
            .closure
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

    /// What the closures read of a section.
    pub fn flow(&self, s: &Section) -> Flow {
        Flow {
            d_m: self.d_m,
            relative_roughness: self.relative_roughness,
            j_l: s.j_l,
            j_g: s.j_g,
            rho_l: self.rho_l,
            rho_g: s.rho_g,
            mu_l: self.mu_l,
            mu_g: self.mu_g,
            sigma: self.sigma,
        }
    }

    pub fn section(&self, j_l: f64, air_flux: f64, p: f64) -> Section {
        let mut s = self.known(j_l, air_flux, p, [0.0; 2]);
        s.alpha = self.slip.gas_fraction(&self.flow(&s));
        // M = ρ_l j_l²/(1−α) + ρ_g j_g²/α, with nothing where a phase is absent
        if j_l > 0.0 {
            s.m += self.rho_l * j_l * j_l / (1.0 - s.alpha);
        }
        if s.j_g > 0.0 {
            s.m += s.rho_g * s.j_g * s.j_g / s.alpha;
        }
        s
    }

    /// A section whose void and momentum flux at a pressure are known.
    pub fn known(&self, j_l: f64, air_flux: f64, p: f64, [alpha, m]: [f64; 2]) -> Section {
        Section {
            p,
            j_l,
            j_g: self.gas_velocity(air_flux, p),
            rho_g: self.gas_density(p),
            alpha,
            m,
        }
    }

    /// Weight of the mixture, Pa/m.
    pub fn weight(&self, s: &Section) -> f64 {
        ((1.0 - s.alpha) * self.rho_l + s.alpha * s.rho_g) * G
    }

    /// Weight and friction of the mixture, Pa/m.
    pub fn gradient(&self, s: &Section) -> f64 {
        self.gradient_along(s, &self.wall(s))
    }

    /// The same with the friction as it is along the riser.
    pub fn gradient_along(&self, s: &Section, wall: &Along) -> f64 {
        self.weight(s) + wall.gradient_pa_per_m(&self.flow(s), s.alpha)
    }

    /// Friction along the riser, from a section of it.
    pub fn wall(&self, s: &Section) -> Along {
        self.friction.along(&self.flow(s))
    }

    /// Height that the mixture must reach, m.
    pub fn needed_m(&self, j_l: f64) -> f64 {
        self.submergence_m + self.lift_m + self.outlet.head.mixture_m(j_l * self.area_m2)
    }

    /// Pressure at the injection point, in the water alone:
    /// p0 = p_a + ρ_l g S − [1 + K_injector + (K_in + f L_s/D_s)(A/A_s)²] ρ_l j_l²/2.
    pub fn injection_pressure(&self, j_l: f64) -> f64 {
        let j_s = j_l * self.suction_ratio;
        let wall = self.suction_loss(j_l);
        let losses = 0.5
            * self.rho_l
            * ((1.0 + self.k_injector) * j_l * j_l + (self.k_in + wall) * j_s * j_s);
        self.p_a + self.rho_l * G * self.submergence_m - losses
    }

    /// f L_s/D_s of the suction pipe, on its own velocity head.
    pub fn suction_loss(&self, j_l: f64) -> f64 {
        if self.suction_m > 0.0 && j_l > 0.0 {
            let j_s = j_l * self.suction_ratio;
            let reynolds = self.rho_l * j_s * self.suction_bore_m / self.mu_l;
            darcy(reynolds, self.roughness_m / self.suction_bore_m) * self.suction_m
                / self.suction_bore_m
        } else {
            0.0
        }
    }

    /// The column at a water velocity on the line through the last two solved ones or on the parabola through all three;
    /// none where one of them has no ends or is choked.
    pub fn between(
        &self,
        [a, b, c]: &[(f64, Carried); 3],
        parabola: bool,
        j_l: f64,
        air_flux: f64,
    ) -> Option<Carried> {
        let (Some(of_a), Some(of_b), Some(of_c)) = (a.1.ends, b.1.ends, c.1.ends) else {
            return None;
        };
        if a.1.choked || b.1.choked || c.1.choked {
            return None;
        }
        // Lagrange's weights of the first two; that of the last is what is left of 1.
        let weight = |own: f64, other: f64| (j_l - other) / (own - other);
        let [first, second] = if parabola {
            [
                weight(a.0, b.0) * weight(a.0, c.0),
                weight(b.0, a.0) * weight(b.0, c.0),
            ]
        } else {
            [0.0, weight(b.0, c.0)]
        };
        let on = |a: f64, b: f64, c: f64| c + first * (a - c) + second * (b - c);
        let section = |a: &Section, b: &Section, c: &Section| {
            let known = [on(a.alpha, b.alpha, c.alpha), on(a.m, b.m, c.m)];
            self.known(j_l, air_flux, on(a.p, b.p, c.p), known)
        };
        let (a, b, c) = (&a.1, &b.1, &c.1);
        Some(Carried {
            p0: on(a.p0, b.p0, c.p0),
            ends: Some((
                section(&of_a.0, &of_b.0, &of_c.0),
                section(&of_a.1, &of_b.1, &of_c.1),
            )),
            difference_pa: on(a.difference_pa, b.difference_pa, c.difference_pa),
            gradient_pa_per_m: on(
                a.gradient_pa_per_m,
                b.gradient_pa_per_m,
                c.gradient_pa_per_m,
            ),
            needed_m: on(a.needed_m, b.needed_m, c.needed_m),
            choked: false,
        })
    }

    /// The column that a water velocity and an air flux carry, with what a neighbouring solution knows
    /// of the foot.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn carried(&self, j_l: f64, air_flux: f64, neighbour: &mut Foot) -> Result<Carried, Error> {
        #[cfg(test)]
        super::effort::count();
        let needed_m = self.needed_m(j_l);
        let p0 = self.injection_pressure(j_l);
        let none = Carried {
            p0,
            ends: None,
            difference_pa: -self.p_a,
            gradient_pa_per_m: self.rho_l * G,
            needed_m,
            choked: false,
        };
        let Some(foot) = self.foot(p0, j_l, air_flux, needed_m, neighbour)? else {
            return Ok(none);
        };
        let Some((top, choked)) = self.top(j_l, air_flux, foot.p)? else {
            return Ok(none);
        };
        Ok(Carried {
            ends: Some((foot, top)),
            difference_pa: foot.p - top.p,
            gradient_pa_per_m: self.mean_gradient(&top, &foot, air_flux),
            choked,
            ..none
        })
    }
}
