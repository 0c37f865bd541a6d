//! The height that a pressure difference carries.
//!
//! ```text
//! L = ∫_{p2}^{p1} (1 + dM/dp)/W dp        W = [(1−α)ρ_l + αρ_g] g + F
//! ```
//!
//! taken over u = ln(p − p_v), in which the volume of the gas is an exponential and the integrand
//! nearly a straight line: few nodes do.

use super::column::{AT_REST, Column, Section};
use super::quadrature::{MOST, RULES, Rule};
use crate::friction::Along;

/// Mixture Reynolds numbers between which the closures change from laminar to turbulent: the
/// integral is split there, and where the slip closure bends.
const TRANSITION: [f64; 4] = [1000.0, 2000.0, 2600.0, 4000.0];

/// Expansions of the gas up to which a rule does, coarse to fine.
const EXPANSION: [f64; 4] = [1.12, 1.3, 1.7, 3.5];

/// Velocity of the gas over that of the water from which friction is nearly all, and the integrand bends more: the next
/// finer rule does. Far beyond the peak.
const THIN: f64 = 100.0;

/// Largest expansion of one panel.
const WIDEST: f64 = 6.0;

/// Largest change of the void over one panel, where a closure makes it steep.
const STEEPEST: f64 = 0.15;

/// A height, and how it and what is at its foot change with the foot's pressure.
#[derive(Debug, Clone, Copy)]
pub(super) struct Extent {
    pub height_m: f64,
    /// dL/dp, m/Pa.
    pub per_pa: f64,
    /// W at the foot, Pa/m, and dW/dp, 1/m.
    pub gradient_pa_per_m: f64,
    pub gradient_per_pa: f64,
    /// dα/dp, 1/Pa.
    pub alpha_per_pa: f64,
}

impl Column {
    /// Whether the mixture is turbulent from foot to mouth at an air flux and more: the gas alone makes it so.
    pub fn is_turbulent(&self, air_flux: f64) -> bool {
        let slowest = self.gas_velocity(air_flux, self.injection_pressure(AT_REST));
        slowest * self.rho_l * self.d_m > TRANSITION[3] * self.mu_l
    }

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
        self.over_height(top, foot, air_flux, &|_| 1.0)
    }

    /// The height with what changes as the foot's pressure does.
    pub fn height_to(&self, top: &Section, foot: &Section, air_flux: f64) -> Extent {
        self.summed(top, foot, air_flux, &|_| 1.0)
    }

    /// ∫ q dz from foot to top, of what a section has for each metre of height.
    pub fn over_height(
        &self,
        top: &Section,
        foot: &Section,
        air_flux: f64,
        of: &impl Fn(&Section) -> f64,
    ) -> f64 {
        self.summed(top, foot, air_flux, of).height_m
    }

    /// The same with what changes as the foot's pressure does.
    fn summed(
        &self,
        top: &Section,
        foot: &Section,
        air_flux: f64,
        of: &impl Fn(&Section) -> f64,
    ) -> Extent {
        let j_l = top.j_l;
        let scale = self.mu_l / (self.rho_l * self.d_m);
        let expansion = (foot.p - self.p_v) / (top.p - self.p_v);
        let crossing = foot.j() < 2.0 * TRANSITION[3] * scale && top.j() > TRANSITION[0] * scale;
        let rule = &RULES[if self.slip.closure.is_steep() {
            RULES.len() - 1
        } else if crossing {
            // With six and eight nodes two of 504 hard risers have water that is off by more than 1e-10 (tests/proof, PROOF=full).
            RULES.len()
                - 1
                - EXPANSION[..2]
                    .iter()
                    .filter(|limit| expansion <= **limit)
                    .count()
        } else {
            let thin = usize::from(top.j_g > THIN * j_l);
            thin + EXPANSION.iter().filter(|limit| expansion > **limit).count()
        }];
        let pieces = Pieces {
            column: self,
            air_flux,
            rule,
            wall: self.wall(top),
            of,
        };
        let within = |p: f64| p > top.p && p < foot.p;
        if !crossing && !self.bends_pa.iter().any(|p| within(*p)) {
            return pieces.wide_panel(top, foot);
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
            sum += pieces.wide_panel(&below, &split).height_m;
            below = split;
        }
        let last = pieces.wide_panel(&below, foot);
        Extent {
            height_m: sum + last.height_m,
            ..last
        }
    }
}

/// The height of pieces of a column.
struct Pieces<'a, F> {
    column: &'a Column,
    air_flux: f64,
    rule: &'a Rule,
    wall: Along,
    of: &'a F,
}

impl<F: Fn(&Section) -> f64> Pieces<'_, F> {
    /// A panel, halved while it spans a large expansion or a steep change of the void; with the derivatives at its end.
    fn wide_panel(&self, low: &Section, high: &Section) -> Extent {
        let column = self.column;
        let (a, b) = (low.p - column.p_v, high.p - column.p_v);
        let steep = column.slip.closure.is_steep() && low.alpha - high.alpha > STEEPEST;
        if b <= WIDEST * a && !steep {
            return self.panel(low, high);
        }
        let middle = column.section(low.j_l, self.air_flux, column.p_v + (a * b).sqrt());
        let [upper, lower] =
            [(low, &middle), (&middle, high)].map(|(low, high)| self.wide_panel(low, high));
        Extent {
            height_m: upper.height_m + lower.height_m,
            ..lower
        }
    }

    fn panel(&self, low: &Section, high: &Section) -> Extent {
        // With the number of nodes known, the loops over them unroll.
        match self.rule.nodes {
            4 => self.of_nodes::<4>(low, high),
            5 => self.of_nodes::<5>(low, high),
            6 => self.of_nodes::<6>(low, high),
            8 => self.of_nodes::<8>(low, high),
            10 => self.of_nodes::<10>(low, high),
            _ => self.of_nodes::<MOST>(low, high),
        }
    }

    #[allow(
        clippy::needless_range_loop,
        reason = "loops over indices unroll, those over iterators do not"
    )]
    fn of_nodes<const N: usize>(&self, low: &Section, high: &Section) -> Extent {
        let (column, rule) = (self.column, self.rule);
        // u = ln(p − p_v) = middle + half x,   dp/dx = half (p − p_v)
        let (a, b) = (low.p - column.p_v, high.p - column.p_v);
        let (middle, half) = ((a * b).sqrt(), 0.5 * ((high.p - low.p) / a).ln_1p());
        let mut sections = [*low; N];
        sections[N - 1] = *high;
        let section = |gas: f64| column.section(low.j_l, self.air_flux, column.p_v + gas);
        // The nodes lie alike on both sides of the middle.
        for i in 1..N / 2 {
            let grown = (half * rule.x[N - 1 - i]).exp();
            sections[i] = section(middle / grown);
            sections[N - 1 - i] = section(middle * grown);
        }
        if N % 2 == 1 {
            sections[N / 2] = section(middle);
        }
        let mut gradients = [0.0; N];
        let [mut sum, mut last] = [0.0; 2];
        for i in 0..N {
            let s = &sections[i];
            let mut slope = half * (s.p - column.p_v);
            for k in 0..N {
                slope += rule.d[i][k] * sections[k].m;
            }
            gradients[i] = column.gradient_along(s, &self.wall);
            last = rule.w[i] * slope / gradients[i] * (self.of)(s);
            sum += last;
        }
        let [mut gradient, mut alpha] = [0.0; 2];
        for k in 0..N {
            gradient += rule.d[N - 1][k] * gradients[k];
            alpha += rule.d[N - 1][k] * sections[k].alpha;
        }
        Extent {
            height_m: sum,
            per_pa: last / (rule.w[N - 1] * half * b),
            gradient_pa_per_m: gradients[N - 1],
            gradient_per_pa: gradient / (half * b),
            alpha_per_pa: alpha / (half * b),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::friction::Friction;
    use crate::model::Model;
    use crate::riser::{Dimensions, RiserSpec, Site};
    use crate::slip::Slip;
    use crate::units::{
        AbsolutePressure, Length, ThermodynamicTemperature, degree_celsius, meter, millimeter,
    };
    use crate::water::Water;

    fn column(bore_mm: f64, model: Model) -> Column {
        let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(14.0)).unwrap();
        let site = Site {
            water,
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let m = Length::new::<meter>;
        let dimensions = Dimensions {
            bore: Length::new::<millimeter>(bore_mm),
            submergence: m(1.0),
            lift: m(0.1),
        };
        RiserSpec::new(dimensions)
            .build(&site, model)
            .unwrap()
            .column
    }

    #[test]
    fn the_rules_are_fine_enough() {
        // Against 16 panels of the finest rule; an operating point is promised to 1e-8.
        let finest = &RULES[RULES.len() - 1];
        let slips = Slip::ALL
            .iter()
            .map(|slip| Model::new(*slip, Friction::default()));
        let frictions = Friction::ALL
            .iter()
            .map(|friction| Model::new(Slip::default(), *friction));
        let mut failures = Vec::new();
        for model in slips.chain(frictions) {
            for (bore_mm, j_l, j_g, expansion) in states() {
                let column = column(bore_mm, model);
                let flux = j_g / column.gas_velocity(1.0, column.p_a);
                let at = |n: f64| {
                    let gas = (column.p_a - column.p_v) * expansion.powf(n / 16.0);
                    column.section(j_l, flux, column.p_v + gas)
                };
                let found = column.height(&at(0.0), &at(16.0), flux);
                let part = |n: u8| {
                    let (low, high) = (at(f64::from(n)), at(f64::from(n) + 1.0));
                    let pieces = Pieces {
                        column: &column,
                        air_flux: flux,
                        rule: finest,
                        wall: column.wall(&low),
                        of: &|_: &Section| 1.0,
                    };
                    pieces.panel(&low, &high).height_m
                };
                let exact: f64 = (0..16).map(part).sum();
                let error = (found / exact - 1.0).abs();
                // Where friction by slug bodies is nearly all, with a film of water, the integrand bends most.
                if error
                    > if model.friction == Friction::SlugBody {
                        5e-9
                    } else {
                        1e-10
                    }
                {
                    failures.push(format!("{model}, {bore_mm} mm, j_l {j_l}, j_g {j_g}, expansion {expansion}: {error:.1e}"));
                }
            }
        }
        assert!(
            failures.is_empty(),
            "{} fail:\n{}",
            failures.len(),
            failures.join("\n")
        );
    }

    /// By a central difference of 1e-4 of the foot's pressure, which is right to some 1e-8.
    #[test]
    fn the_height_grows_with_the_foots_pressure_as_told() {
        let mut tried = 0;
        for (bore_mm, j_l, j_g, expansion) in
            states().filter(|(_, _, _, expansion)| *expansion > 1.1)
        {
            let column = column(bore_mm, Model::default());
            let flux = j_g / column.gas_velocity(1.0, column.p_a);
            let at = |p: f64| column.section(j_l, flux, p);
            let (top, p) = (
                at(column.p_a),
                column.p_v + expansion * (column.p_a - column.p_v),
            );
            let step = 1e-4 * p;
            let [more, less] = [p + step, p - step].map(|p| column.height(&top, &at(p), flux));
            let found = column.height_to(&top, &at(p), flux);
            assert_eq!(found.height_m, column.height(&top, &at(p), flux));
            let over = |more: f64, less: f64| (more - less) / (2.0 * step);
            approx::assert_relative_eq!(found.per_pa, over(more, less), max_relative = 1e-5);
            let wall = column.wall(&top);
            let gradient = |p: f64| column.gradient_along(&at(p), &wall);
            assert_eq!(found.gradient_pa_per_m, gradient(p));
            let [gradient, alpha] = [
                over(gradient(p + step), gradient(p - step)),
                over(at(p + step).alpha, at(p - step).alpha),
            ];
            approx::assert_relative_eq!(found.gradient_per_pa, gradient, max_relative = 1e-3);
            approx::assert_relative_eq!(found.alpha_per_pa, alpha, max_relative = 1e-3);
            tried += 1;
        }
        assert_eq!(tried, 5 * 8 * 7);
    }

    /// Bore in mm, velocities at the top in m/s, expansion of the gas.
    fn states() -> impl Iterator<Item = (f64, f64, f64, f64)> {
        let bores = [3.0, 12.7, 25.4, 76.2, 300.0];
        let flows = [
            (0.003, 0.03),
            (0.003, 100.0),
            (0.03, 0.3),
            (0.1, 3.0),
            (0.3, 0.3),
            (0.3, 30.0),
            (1.0, 3.0),
            (3.0, 100.0),
        ];
        let expansions = [1.01, 1.12, 1.3, 1.7, 2.5, 3.5, 6.0, 20.0];
        bores.into_iter().flat_map(move |bore| {
            flows
                .into_iter()
                .flat_map(move |(j_l, j_g)| expansions.map(|expansion| (bore, j_l, j_g, expansion)))
        })
    }
}
