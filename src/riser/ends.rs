//! The two ends of the column: the foot, where the air joins, and the mouth.
//!
//! ```text
//! p1 + M(p1) + Δp_dev(p1) = p0 + ρ_l j_l²        Δp_dev = ρ_l g α(p1) ℓ (1 − e^(−L/ℓ))
//! p2 = p_top + K_out G²/(2ρ_h), or higher where 1 + dM/dp would be below zero: choked
//! ```

use super::column::{Column, Section};
use super::search::FASTEST_GAS;
use crate::error::{Error, Solve};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::GRAVITY_M_PER_S2 as G;

/// How closely the foot's pressure is found, relative: near the rounding of f64.
const FOOT_TOLERANCE: f64 = 2e-14;

/// The same for what a step along slopes leaves, by an estimate from above.
const FOOT_LEFT: f64 = 5e-14;

/// The same of a first try, whose water velocity is some thousandths off.
const FOOT_LOOSE: f64 = 2e-9;

/// Relative change of the slopes of void and momentum flux over that of pressure or a flow: 2 where void falls as the
/// inverse of the pressure.
const CURVED: f64 = 2.0;

/// Steps to the foot's pressure where a neighbour does not lead to it.
const FOOT_STEPS: usize = 60;

/// Ratio of the pressures that are tried below the hump of a steep void.
const STEEP_STEP: f64 = 1.2;

/// What solutions know of the foot.
#[derive(Debug, Clone, Copy)]
pub(super) struct Foot {
    /// The last one and the one before, the last first.
    known: [Option<KnownFoot>; 2],
    slopes: Slopes,
    /// A length of the riser, and how much of it carries no void yet.
    undeveloped_m: [f64; 2],
    /// What may be left of the balance, relative.
    left: f64,
}

/// How void and momentum flux change with the pressure, and where that was found.
#[derive(Debug, Clone, Copy)]
struct Slopes {
    alpha: f64,
    m: f64,
    p: f64,
    j_l: f64,
    air_flux: f64,
}

#[derive(Debug, Clone, Copy)]
struct KnownFoot {
    j_l: f64,
    air_flux: f64,
    /// How far p1 is below the target of its balance.
    below: f64,
}

impl Default for Foot {
    fn default() -> Self {
        Self {
            known: [None; 2],
            slopes: Slopes::NONE,
            undeveloped_m: [f64::NAN; 2],
            left: FOOT_LEFT,
        }
    }
}

impl Slopes {
    const NONE: Self = Self {
        alpha: 0.0,
        m: 0.0,
        p: f64::NAN,
        j_l: f64::NAN,
        air_flux: f64::NAN,
    };

    /// Relative distance of a section, in pressure and flows; no number where no slopes are known.
    fn distance(&self, s: &Section, air_flux: f64) -> f64 {
        let off = |known: f64, now: f64| (now / known - 1.0).abs();
        off(self.p, s.p) + off(self.j_l, s.j_l) + off(self.air_flux, air_flux)
    }
}

impl Foot {
    /// For a first try that is not close.
    pub fn loose() -> Self {
        Self {
            left: FOOT_LOOSE,
            ..Self::default()
        }
    }

    /// No longer loose; what was left more than usual, relative.
    pub fn tighten(&mut self) -> f64 {
        std::mem::replace(&mut self.left, FOOT_LEFT) - FOOT_LEFT
    }

    /// The same slopes for flows whose foot is guessed.
    pub fn guessed(&self, j_l: f64, air_flux: f64, below: f64) -> Self {
        let known = KnownFoot {
            j_l,
            air_flux,
            below,
        };
        Self {
            known: [Some(known), None],
            ..*self
        }
    }

    /// [`Column::undeveloped_m`], worked out where it was not for the flow before.
    fn undeveloped_m(&mut self, column: &Column, length_m: f64) -> f64 {
        if self.undeveloped_m[0] != length_m {
            self.undeveloped_m = [length_m, column.undeveloped_m(length_m)];
        }
        self.undeveloped_m[1]
    }

    /// How far the last p1 was below its target; no number where there was none.
    pub fn last_below_pa(&self) -> f64 {
        self.known[0].map_or(f64::NAN, |known| known.below)
    }

    /// How far p1 is below its target: as on the line through the two last solutions, where only one of the flows
    /// has changed; nought for the foot of a column without gas.
    fn below(&self, j_l: f64, air_flux: f64) -> f64 {
        let [Some(last), before] = self.known else {
            return 0.0;
        };
        let Some(before) = before else {
            return last.below;
        };
        let (water, air) = (last.j_l - before.j_l, last.air_flux - before.air_flux);
        let steps = if air == 0.0 && air_flux == last.air_flux {
            (j_l - last.j_l) / water
        } else if water == 0.0 && j_l == last.j_l {
            (air_flux - last.air_flux) / air
        } else {
            0.0
        };
        // A long way off the line says nothing.
        if steps.abs() <= 2.0 {
            last.below + steps * (last.below - before.below)
        } else {
            last.below
        }
    }
}

impl Column {
    /// Length of riser that carries no void yet, ℓ (1 − e^(−L/ℓ)).
    pub fn undeveloped_m(&self, length_m: f64) -> f64 {
        let developing_m = self.developing_m;
        if developing_m > 0.0 && length_m > 0.0 {
            developing_m * -(-length_m / developing_m).exp_m1()
        } else {
            0.0
        }
    }

    /// The larger root of p1 + M(p1) + Δp_dev(p1) = p0 + ρ_l j_l²; none when the air is too much to
    /// enter at this pressure.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn foot(
        &self,
        p0: f64,
        j_l: f64,
        air_flux: f64,
        length_m: f64,
        neighbour: &mut Foot,
    ) -> Result<Option<Section>, Error> {
        // Δp_dev = ρ_l g α(p1) ℓ (1 − e^(−L/ℓ))
        let deficit = self.rho_l * G * neighbour.undeveloped_m(self, length_m);
        let lowest = 1.001 * self.p_v + 1.0;
        let target = p0 + self.rho_l * j_l * j_l;
        // M(p1) ≥ ρ_l j_l²/(1 − α): p1 is not above p0.
        if p0 <= lowest || self.gas_velocity(air_flux, p0) > FASTEST_GAS {
            return Ok(None);
        }
        let excess = |p: f64| {
            let s = self.section(j_l, air_flux, p);
            (p + s.m + deficit * s.alpha - target, s)
        };
        // A neighbour may lie left of the smaller root, from where no way leads to the larger one.
        let start = (target - neighbour.below(j_l, air_flux))
            .max(lowest)
            .min(p0);
        // Where the void falls steeply there may be smaller roots, to which a neighbour may lead.
        let steep = deficit > 0.0 && self.slip.closure.is_steep();
        let near = if steep {
            None
        } else {
            falling_root(
                [lowest, start, target],
                deficit,
                air_flux,
                neighbour,
                &excess,
            )
        };
        let section = if let Some((near, p)) = near {
            let along = |value: f64, slope: f64| value + slope * (p - near.p);
            let Slopes { alpha, m, .. } = neighbour.slopes;
            let known = [along(near.alpha, alpha), along(near.m, m)];
            self.known(j_l, air_flux, p, known)
        } else {
            neighbour.slopes = Slopes::NONE;
            match larger_root(lowest, p0, steep, &excess)? {
                Some(section) => section,
                None => return Ok(None),
            }
        };
        let known = KnownFoot {
            j_l,
            air_flux,
            below: target - section.p,
        };
        neighbour.known = [Some(known), neighbour.known[0]];
        Ok(Some(section))
    }

    /// The mouth: p2 = p_top + K_out G²/(2ρ_h) at the state at p_top, or the choking pressure where
    /// that is higher; none when the air is too much to leave below the foot's pressure p1.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn top(&self, j_l: f64, air_flux: f64, p1: f64) -> Result<Option<(Section, bool)>, Error> {
        let p2 = self.mouth_pa(j_l, air_flux);
        let top = self.section(j_l, air_flux, p2);
        // M changes about as 1/p: only a momentum flux near the pressure itself can choke.
        if top.m < 0.2 * p2 || 1.0 + self.momentum_slope(&top, air_flux) > 0.0 {
            return Ok(Some((top, false)));
        }
        // A mouth at the foot's pressure or above carries nothing.
        if p2 >= p1 {
            return Ok(None);
        }
        let slope = |p: f64| 1.0 + self.momentum_slope(&self.section(j_l, air_flux, p), air_flux);
        let (mut low, mut f_low, mut high) = (p2, slope(p2), 1.3 * p2);
        let mut f_high = slope(high);
        while f_high <= 0.0 {
            if high >= p1 {
                return Ok(None);
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
        )?;
        Ok(Some((self.section(j_l, air_flux, p), true)))
    }

    /// p_top + K_out G²/(2ρ_h) at the state at p_top.
    pub fn mouth_pa(&self, j_l: f64, air_flux: f64) -> f64 {
        let base = self.p_a + self.rho_l * G * self.outlet.head.water_m(j_l * self.area_m2);
        if self.outlet.k_out <= 0.0 {
            return base;
        }
        // G²/ρ_h = G j
        let (j_g, rho_g) = (self.gas_velocity(air_flux, base), self.gas_density(base));
        base + 0.5 * self.outlet.k_out * (self.rho_l * j_l + rho_g * j_g) * (j_l + j_g)
    }

    /// dM/dp by a central difference.
    fn momentum_slope(&self, s: &Section, air_flux: f64) -> f64 {
        let step = 1e-5 * s.p;
        let at = |p| self.section(s.j_l, air_flux, p).m;
        (at(s.p + step) - at(s.p - step)) / (2.0 * step)
    }

    /// Pressure that is lost in the tolerance of the foot's pressure.
    pub fn rounding_pa(&self) -> f64 {
        2.0 * FOOT_TOLERANCE
            * (self.p_a + self.rho_l * G * (self.submergence_m + self.lift_m.abs()))
    }
}

/// The root of a convex excess by secants from its right: the last section, and the pressure that the slopes (of
/// void and momentum flux, kept for the next) lead to; none when they leave the rising side.
fn falling_root(
    [lowest, start, target]: [f64; 3],
    deficit: f64,
    air_flux: f64,
    neighbour: &mut Foot,
    excess: &impl Fn(f64) -> (f64, Section),
) -> Option<(Section, f64)> {
    let left = neighbour.left * target;
    let slopes = &mut neighbour.slopes;
    let mut x = start;
    let (mut fx, mut s) = excess(x);
    let mut distance = slopes.distance(&s, air_flux);
    for _ in 0..12 {
        let change = slopes.m + deficit * slopes.alpha;
        let slope = 1.0 + change;
        if !slope.is_finite() || slope <= 0.0 {
            return None;
        }
        let y = x - fx / slope;
        if fx.abs() <= FOOT_TOLERANCE * target || CURVED * (change * distance * fx).abs() <= left {
            return Some((s, y));
        }
        if y <= lowest {
            return None;
        }
        let before = s;
        (fx, s) = excess(y);
        let step = y - x;
        *slopes = Slopes {
            alpha: (s.alpha - before.alpha) / step,
            m: (s.m - before.m) / step,
            p: y,
            j_l: s.j_l,
            air_flux,
        };
        distance = (step / y).abs();
        x = y;
    }
    None
}

/// The larger root below a pressure at which the excess is above zero. Above that root the excess is
/// nearly always convex with a slope of at most 1, so that secants from the right fall to it; once a
/// point below it is known they are kept between. Where the void is steep the excess may rise to a hump on the way down,
/// with the root below that.
fn larger_root(
    lowest: f64,
    highest: f64,
    steep: bool,
    excess: &impl Fn(f64) -> (f64, Section),
) -> Result<Option<Section>, Error> {
    let (mut low, mut high) = (None, highest);
    let mut x = highest;
    let (mut fx, _) = excess(x);
    let mut y = x - fx;
    for _ in 0..FOOT_STEPS {
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
            return Ok(Some(s));
        }
        let slope = (fy - fx) / (y - x);
        if low.is_none() && fy > 0.0 && (slope.is_nan() || slope <= 0.0) {
            // Below the hump of a steep void it may fall again.
            let below = if steep {
                crossing(lowest, y, excess)
            } else {
                None
            };
            let Some((positive, negative)) = below else {
                return Ok(None);
            };
            high = positive;
            (x, fx) = negative;
            continue;
        }
        (x, fx, y) = (y, fy, y - fy / slope);
    }
    Err(Error::NotConverged {
        what: Solve::FootPressure,
        iterations: FOOT_STEPS,
        residual: fx,
        low: low.unwrap_or(lowest),
        high,
    })
}

/// Neighbouring pressures below one, of which the excess is below zero at the lower; that one with its excess.
fn crossing(
    lowest: f64,
    mut high: f64,
    excess: &impl Fn(f64) -> (f64, Section),
) -> Option<(f64, (f64, f64))> {
    while high > STEEP_STEP * lowest {
        let p = high / STEEP_STEP;
        let (f, _) = excess(p);
        if f < 0.0 {
            return Some((high, (p, f)));
        }
        high = p;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::{Dimensions, RiserSpec, Site};
    use super::*;
    use crate::error::Error;
    use crate::friction::Friction;
    use crate::model::Model;
    use crate::slip::Slip;
    use crate::units::{
        AbsolutePressure, Length, ThermodynamicTemperature, degree_celsius, meter, millimeter,
    };
    use crate::water::Water;

    fn column() -> Column {
        let site = Site {
            water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0)).unwrap(),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let spec = RiserSpec::new(Dimensions {
            bore: Length::new::<millimeter>(50.0),
            submergence: Length::new::<meter>(1.0),
            lift: Length::new::<meter>(0.1),
        });
        spec.validate(&site, &Model::default()).unwrap()
    }

    /// A state that is no number stands for any search that does not end: it is an error, not air that
    /// cannot enter or leave.
    #[test]
    fn a_search_that_fails_is_an_error() {
        let broken = Column {
            rho_l: f64::NAN,
            ..column()
        };
        let p0 = 111_000.0;
        let foot = broken.foot(p0, 0.5, 0.1, 1.1, &mut Foot::default());
        assert!(
            matches!(
                foot,
                Err(Error::NotConverged {
                    what: Solve::FootPressure,
                    ..
                })
            ),
            "{foot:?}"
        );
        let top = broken.top(0.5, 0.1, p0);
        assert!(
            matches!(
                top,
                Err(Error::NotConverged {
                    what: Solve::ChokePressure,
                    ..
                })
            ),
            "{top:?}"
        );
        let sound = column();
        assert!(
            sound
                .foot(p0, 0.5, 0.1, 1.1, &mut Foot::default())
                .unwrap()
                .is_some()
        );
        assert!(sound.top(0.5, 0.1, p0).unwrap().is_some());
    }

    /// In a pipe of 0.8 m that little water rises in, the void jumps from a half to three quarters within a few
    /// kilopascals: of the balance that leaves a hump, and one root below it, at 290 kPa.
    #[test]
    fn a_root_below_the_hump_of_a_steep_void() {
        let water = Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(40.0)).unwrap();
        let site = Site {
            water,
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let model = Model::new(Slip::SmithDrift, Friction::Homogeneous)
            .with_developing_length(Length::new::<meter>(17.7));
        let spec = RiserSpec::new(Dimensions {
            bore: Length::new::<meter>(0.82),
            submergence: Length::new::<meter>(30.0),
            lift: Length::new::<meter>(53.0),
        });
        let column = spec.validate(&site, &model).unwrap();
        let (p0, j_l, flux, length_m) = (418_000.0, 1e-5, 0.177, 83.0);
        let found = |neighbour: &mut Foot| {
            let foot = column.foot(p0, j_l, flux, length_m, neighbour);
            foot.unwrap().unwrap().p
        };
        let p = found(&mut Foot::default());
        let s = column.section(j_l, flux, p);
        let deficit = column.rho_l * G * column.undeveloped_m(length_m) * s.alpha;
        approx::assert_relative_eq!(p + s.m + deficit, p0, max_relative = 1e-12);
        assert!(p > 285e3 && p < 295e3, "{p}");
        // With a little less gas there is a larger one, to which no neighbour leads from here.
        let mut neighbour = Foot::default();
        found(&mut neighbour);
        let foot = |neighbour: &mut Foot| {
            let foot = column.foot(p0, j_l, 0.9 * flux, length_m, neighbour);
            foot.unwrap().unwrap().p
        };
        let [alone, beside] = [foot(&mut Foot::default()), foot(&mut neighbour)];
        assert!(alone > 320e3 && alone == beside, "{alone} {beside}");
    }
}
