//! Void fraction and friction as printed at the head of each closure's file, in 256 bits.

use risewater::{Friction, Slip};

use crate::big::{Big, big, newton, printed};

/// What one cross-section carries.
pub struct Flow {
    pub d: Big,
    pub roughness: Big,
    pub j_l: Big,
    pub j_g: Big,
    pub rho_l: Big,
    pub rho_g: Big,
    pub mu_l: Big,
    pub mu_g: Big,
    pub sigma: Big,
}

pub fn gravity() -> Big {
    printed("9.80665")
}

/// f = 8 [(8/Re)¹² + (A + B)^−1.5]^(1/12)
pub fn darcy(reynolds: &Big, roughness: &Big) -> Big {
    let sum = (big(7.0) / reynolds).power(&printed("0.9")) + printed("0.27") * roughness;
    let a = (printed("2.457") * -sum.ln()).powi(16);
    let b = (big(37530.0) / reynolds).powi(16);
    let ab = a + b;
    let inside = (big(8.0) / reynolds).powi(12) + big(1.0) / (&ab * ab.sqrt());
    big(8.0) * inside.cbrt().sqrt().sqrt()
}

impl Flow {
    fn j(&self) -> Big {
        &self.j_l + &self.j_g
    }

    fn mass_flux(&self) -> Big {
        &self.rho_l * &self.j_l + &self.rho_g * &self.j_g
    }

    fn density_ratio(&self) -> Big {
        &self.rho_g / &self.rho_l
    }

    /// √(σ/(g Δρ))
    fn laplace(&self) -> Big {
        (&self.sigma / (gravity() * (&self.rho_l - &self.rho_g))).sqrt()
    }

    /// (σ g Δρ/ρ_l²)^¼
    fn bubble(&self) -> Big {
        let product = &self.sigma * gravity() * (&self.rho_l - &self.rho_g);
        (product / self.rho_l.square()).sqrt().sqrt()
    }

    pub fn void(&self, slip: Slip) -> Big {
        match slip {
            Slip::BhagwatGhajar2014 => self.swarm(&self.bhagwat_ghajar(), &self.drift()),
            Slip::Bubbly => self.swarm(&self.ishii(), &(printed("1.53") * self.bubble())),
            Slip::Nicklin1962 => {
                let drift = printed("0.35") * (gravity() * &self.d).sqrt();
                self.explicit(&printed("1.2"), &drift)
            }
            Slip::Reinemann1990 => {
                let s = &self.sigma / (&self.rho_l * gravity() * self.d.square());
                let froude = big(1.0) - printed("3.18") * &s - printed("14.77") * s.square();
                let froude = if froude.is_positive() {
                    froude
                } else {
                    big(0.0)
                };
                let drift = printed("0.352") * froude * (gravity() * &self.d).sqrt();
                self.explicit(&printed("1.2"), &drift)
            }
            Slip::KataokaIshii1987 => self.explicit(&self.ishii(), &self.kataoka()),
            Slip::SmithDrift => self.smith(),
            other => panic!("{other}"),
        }
    }

    fn explicit(&self, c0: &Big, drift: &Big) -> Big {
        &self.j_g / (c0 * self.j() + drift)
    }

    /// (1 − s²)(C₀ j + V s) = j_g,   s = √(1 − α)
    fn swarm(&self, c0: &Big, v: &Big) -> Big {
        let c0_j = c0 * self.j();
        let (j_g, c, w) = (self.j_g.rounded(), c0_j.rounded(), v.rounded());
        let start = halved(|s| (c - j_g) + s * (w - s * (c + w * s)));
        let s = newton(start, |s| {
            let velocity = &c0_j + v * s;
            let rest = big(1.0) - s.square();
            let slope = v * &rest - big(2.0) * s * &velocity;
            (rest * velocity - &self.j_g, slope)
        });
        assert!(s.is_positive() && s < big(1.0));
        big(1.0) - s.square()
    }

    /// 1.2 − 0.2 √(ρ_g/ρ_l)
    fn ishii(&self) -> Big {
        printed("1.2") - printed("0.2") * self.density_ratio().sqrt()
    }

    fn bhagwat_ghajar(&self) -> Big {
        let j = self.j();
        let reynolds = &self.rho_l * &j * &self.d / &self.mu_l;
        let x = &self.rho_g * &self.j_g / self.mass_flux();
        let beta = &self.j_g / j;
        let fanning = darcy(&reynolds, &self.roughness) / big(4.0);
        let dry = big(1.0) - x;
        let c01 = printed("0.2")
            * (big(1.0) - self.density_ratio().sqrt())
            * ((printed("2.6") - beta).power(&printed("0.15")) - fanning.sqrt())
            * (&dry * dry.sqrt());
        let r2 = (reynolds / big(1000.0)).square();
        (big(2.0) - self.density_ratio().square()) / (big(1.0) + &r2)
            + (big(1.0) + c01) / (big(1.0) + big(1.0) / r2)
    }

    /// 0.35 √(g D Δρ/ρ_l) C₃
    fn drift(&self) -> Big {
        let v = printed("0.35") * (gravity() * &self.d * (big(1.0) - self.density_ratio())).sqrt();
        let la = self.laplace() / &self.d / printed("0.025");
        if la < big(1.0) {
            v * la.power(&printed("0.9"))
        } else {
            v
        }
    }

    fn kataoka(&self) -> Big {
        let la = self.laplace();
        let viscosity = &self.mu_l / (&self.rho_l * &self.sigma * &la).sqrt();
        let most = printed("0.00225");
        let viscosity = if viscosity < most { viscosity } else { most };
        let wide = &self.d / la;
        let wide = if wide < big(30.0) { wide } else { big(30.0) };
        printed("0.0019") * wide.power(&printed("0.809"))
            / self.density_ratio().power(&printed("0.157"))
            / viscosity.power(&printed("0.562"))
            * self.bubble()
    }

    fn smith(&self) -> Big {
        let k = printed("0.4");
        let film = &k * &self.rho_l * &self.j_l / (&self.rho_g * &self.j_g);
        let heads = (&self.rho_l / &self.rho_g + &film) / (big(1.0) + film);
        let slip = &k + (big(1.0) - &k) * heads.sqrt();
        let v = self.drift();
        let (e, c) = (slip * &self.j_l, &v / big(18.0));
        let e = &e + &c * (-(&e / &c)).exp();
        let total = &self.j_g + &e;
        let (e64, v64, t64) = (e.rounded(), v.rounded(), total.rounded());
        let start = halved(|u| e64 - u * t64 + v64 * u * u * (1.0 - u));
        let u = newton(start, |u| {
            let h = &e - u * &total + &v * u.square() * (big(1.0) - u);
            let slope = &v * u * (big(2.0) - big(3.0) * u) - &total;
            (h, slope)
        });
        assert!(u.is_positive() && u < big(1.0));
        &self.j_g / (total + v * u.square())
    }

    pub fn wall(&self, friction: Friction, alpha: &Big) -> Big {
        let (j, g) = (self.j(), self.mass_flux());
        match friction {
            Friction::Homogeneous => {
                let f = darcy(&(&g * &self.d / &self.mu_l), &self.roughness);
                f * g * j / (big(2.0) * &self.d)
            }
            Friction::SlugBody => {
                let f = darcy(&(&self.rho_l * &j * &self.d / &self.mu_l), &self.roughness);
                f * (big(1.0) - alpha) * &self.rho_l * j.square() / (big(2.0) * &self.d)
            }
            Friction::Friedel1979 => self.friedel(&g, &j),
            other => panic!("{other}"),
        }
    }

    fn friedel(&self, g: &Big, j: &Big) -> Big {
        let x = &self.rho_g * &self.j_g / g;
        let wet = &self.rho_l * &self.j_l / g;
        let rho_h = g / j;
        let f_lo = darcy(&(g * &self.d / &self.mu_l), &self.roughness);
        let f_go = darcy(&(g * &self.d / &self.mu_g), &self.roughness);
        let viscosities = &self.mu_g / &self.mu_l;
        let e = wet.square() + x.square() * &self.rho_l * f_go / (&self.rho_g * &f_lo);
        let f = x.power(&printed("0.78")) * wet.power(&printed("0.224"));
        let h = (&self.rho_l / &self.rho_g).power(&printed("0.91"))
            * viscosities.power(&printed("0.19"))
            * (big(1.0) - viscosities).power(&printed("0.7"));
        let froude = g.square() / (gravity() * &self.d * rho_h.square());
        let weber = g.square() * &self.d / (rho_h * &self.sigma);
        let phi = e + printed("3.24") * f * h
            / froude.power(&printed("0.0454"))
            / weber.power(&printed("0.035"));
        phi * f_lo * g.square() / (big(2.0) * &self.rho_l * &self.d)
    }
}

/// The one root in (0, 1) of a function that is above zero left of it, to the digits of an `f64`.
pub fn halved(f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if f(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
