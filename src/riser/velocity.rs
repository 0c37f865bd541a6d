//! The water velocity at an air flow: where the column just reaches the outlet.

use super::column::{AT_REST, Carried, Column};
use super::ends::Foot;
use crate::error::{Error, Solve};
use crate::solve::{Bracket, Tolerance, bracketed_near, fallible};
use crate::units::GRAVITY_M_PER_S2 as G;

/// How closely the water velocity is found. Far finer than any use: an iteration more or less, as
/// another maths library may cause it, must not show in a result.
const RELATIVE: f64 = 1e-11;
/// Product of the distances of two or three tries from where their line or parabola has the root, relative, from which
/// that is the root: what is left is the product times a second or third difference of the excess over its slope, of the
/// order of 1/j_l² or 1/j_l³.
const LAST_STEPS: f64 = 5e-12;
/// Step of the water velocity for the slope at a solution, relative.
const NEAR_STEP: f64 = 1e-4;
/// Least excess over what a loose foot may leave of it.
const FOOT_SHARE: f64 = 3e4;
/// Relative width of water velocities within which an excess that changes its sign and has no zero is a jump.
const JUMP: f64 = 1e-6;
/// Secants from a solution nearby; two or three do.
const NEAR_STEPS: usize = 8;

/// How far in ln(air) solutions are neighbours.
const PATH_REACH: f64 = 1.0;
/// How many of them a polynomial goes through.
pub(super) const PATH_LENGTH: usize = 5;
/// The same of any polynomial, at most.
pub(super) const LONGEST: usize = 8;
/// Steps to where a polynomial is highest, from nearby.
const TOP_STEPS: usize = 6;
/// Steps to about the water velocity, for a scan.
const ROUGH_STEPS: usize = 4;
/// Relative error of the slope that a first guess has.
const TEXTBOOK_SLOPE: f64 = 0.3;
/// Step from a guess with a good slope, relative, up to which the column of the guess is that of the solution to 1e-9 in
/// every number, and what the slope may leave of the velocity.
const ONE_STEP: [f64; 2] = [3e-10, 1e-12];
/// Relative error of a slope found by secants, for the noise of what they are taken of.
const SLOPE_NOISE: f64 = 1e-4;

/// A water velocity near the solution, and how the excess falls with it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Near {
    pub j_l: f64,
    pub slope: Slope,
}

/// How the excess changes with the water velocity, Pa/(m/s).
#[derive(Debug, Clone, Copy)]
pub(super) enum Slope {
    Unknown,
    Found(f64),
    /// With its relative error.
    Guessed(f64, f64),
}

/// Solutions at neighbouring air flows.
#[derive(Debug, Clone)]
pub(super) struct Path {
    /// ln of the water velocity, and of how far the foot is below its balance.
    velocity: Newton<2>,
    /// ln of how steeply the excess falls with the water velocity, where that was found.
    slope: Newton<1>,
    foot: Foot,
}

impl Default for Path {
    fn default() -> Self {
        Self {
            velocity: Newton::of(PATH_LENGTH),
            slope: Newton::of(2),
            foot: Foot::default(),
        }
    }
}

impl Path {
    /// The water velocity at the next air flux, from the solutions before; none when nothing flows.
    pub fn next(
        &mut self,
        column: &Column,
        air_flux: f64,
    ) -> Result<Option<(f64, Carried)>, Error> {
        let x = air_flux.ln();
        let guess = if self.velocity.reaches(x, PATH_REACH) {
            self.guess(air_flux, x)
        } else {
            None
        };
        let settled = match guess {
            Some((near, foot)) => {
                self.foot = foot;
                column.settled(air_flux, near, &mut self.foot)?
            }
            None => None,
        };
        let found = match settled {
            None => column.solved(air_flux)?,
            settled => settled,
        };
        match &found {
            Some(_) if self.velocity.has(x) => {}
            // Without air there is no logarithm to go on from.
            Some((near, carried)) if x.is_finite() => {
                let mut below = carried.below_pa(column.rho_l);
                let slope = match near.slope {
                    Slope::Guessed(..) => {
                        below = self.foot.last_below_pa();
                        None
                    }
                    Slope::Found(slope) if slope < 0.0 => Some(slope),
                    _ => column.near(near.j_l, air_flux)?.slope.found(),
                };
                self.velocity.keep(x, [near.j_l, below].map(f64::ln));
                if let Some(slope) = slope {
                    self.slope.keep(x, [(-slope).ln()]);
                }
            }
            _ => {
                self.velocity.count = 0;
                self.slope.count = 0;
            }
        }
        Ok(found.map(|(near, carried)| (near.j_l, carried)))
    }

    /// About the water velocity at the next air flux, for a scan: by a step that may leave so much of it, relative. The column
    /// is that of the try before, with the pressure at the injection point of this one.
    pub fn roughly(
        &mut self,
        column: &Column,
        air_flux: f64,
        left: f64,
    ) -> Result<Option<(f64, Carried)>, Error> {
        let x = air_flux.ln();
        let known = if self.velocity.count > 1 && self.velocity.reaches(x, PATH_REACH) {
            self.guess(air_flux, x)
        } else {
            None
        };
        let cold = || {
            let near = || column.by_one_section(column.guess(air_flux).0, air_flux);
            let surely = column.surely_rises(air_flux);
            surely.then(|| (near(), Foot::loose()))
        };
        let Some((near, mut foot)) = known.or_else(cold) else {
            return self.next(column, air_flux);
        };
        let Near { mut j_l, mut slope } = near;
        let mut error = match slope {
            Slope::Guessed(_, error) => error,
            _ => TEXTBOOK_SLOPE,
        };
        let mut before: Option<(f64, f64)> = None;
        for _ in 0..ROUGH_STEPS {
            let mut carried = column.carried(j_l, air_flux, &mut foot)?;
            let excess = carried.excess_pa();
            if let Some((last, excess_there)) = before {
                slope = Slope::Found((excess - excess_there) / (j_l - last));
                error = (j_l / last - 1.0).abs();
            }
            let step = slope.step(excess);
            let share = (step / j_l).abs();
            if carried.ends.is_none() || share.is_nan() || share > 0.5 {
                break;
            }
            before = Some((j_l, excess));
            j_l += step;
            if (error + share) * share <= left {
                let below = carried.below_pa(column.rho_l);
                carried.p0 = column.injection_pressure(j_l);
                self.foot = foot;
                self.velocity.keep(x, [j_l, below].map(f64::ln));
                if let Some(slope) = slope.found() {
                    self.slope.keep(x, [(-slope).ln()]);
                }
                return Ok(Some((j_l, carried)));
            }
        }
        self.next(column, air_flux)
    }

    /// The water velocity and the foot to be tried at an air flux; none where the polynomials lead nowhere.
    fn guess(&self, air_flux: f64, x: f64) -> Option<(Near, Foot)> {
        let [j_l, below] = self.velocity.at(x).map(f64::exp);
        let [slope] = self.slope.at(x).map(f64::exp);
        if !j_l.is_finite() || !slope.is_finite() {
            return None;
        }
        // The slope changes by something like itself where the air grows e-fold; two of them tell how.
        let far = x - self.slope.x[0];
        let error = if self.slope.count > 1 {
            far * far
        } else {
            far.abs()
        };
        let near = Near {
            j_l,
            slope: Slope::Guessed(-slope, SLOPE_NOISE + error),
        };
        let foot = if below.is_finite() {
            self.foot.guessed(j_l, air_flux, below)
        } else {
            Foot::default()
        };
        Some((near, foot))
    }
}

/// Newton's polynomial through the last few of some values, by divided differences.
#[derive(Debug, Clone)]
pub(super) struct Newton<const N: usize> {
    length: usize,
    pub count: usize,
    /// Where they were known, the last first.
    x: [f64; LONGEST],
    /// Divided differences over the first, the first two, …
    differences: [[f64; N]; LONGEST],
}

impl Newton<1> {
    /// Where it is highest near a place, by Newton's method; no number where it has no such place.
    pub fn top(&self, mut x: f64) -> f64 {
        for _ in 0..TOP_STEPS {
            // Horner's scheme, with the first two derivatives.
            let [mut value, mut slope, mut bend] = [0.0; 3];
            for k in (0..self.count).rev() {
                let off = x - self.x[k];
                bend = bend * off + 2.0 * slope;
                slope = slope * off + value;
                value = value * off + self.differences[k][0];
            }
            if bend >= 0.0 {
                return f64::NAN;
            }
            x -= slope / bend;
        }
        x
    }
}

impl<const N: usize> Newton<N> {
    pub fn of(length: usize) -> Self {
        Self {
            length,
            count: 0,
            x: [f64::NAN; LONGEST],
            differences: [[f64::NAN; N]; LONGEST],
        }
    }

    fn known(&self) -> &[f64] {
        &self.x[..self.count]
    }

    fn has(&self, x: f64) -> bool {
        self.known().contains(&x)
    }

    /// The least of the known ones.
    pub fn least(&self) -> f64 {
        self.known().iter().copied().fold(f64::INFINITY, f64::min)
    }

    /// Whether one of the known ones is no farther away.
    pub fn reaches(&self, x: f64, reach: f64) -> bool {
        let mut known = self.known().iter();
        known.any(|known| (known - x).abs() <= reach)
    }

    /// The same place again tells nothing new.
    pub fn keep(&mut self, x: f64, y: [f64; N]) {
        if self.has(x) {
            return;
        }
        let mut row = y;
        for k in 0..self.count.min(self.length - 1) {
            let before = std::mem::replace(&mut self.differences[k], row);
            let span = x - self.x[k];
            for (own, before) in row.iter_mut().zip(before) {
                *own = (*own - before) / span;
            }
        }
        self.count = (self.count + 1).min(self.length);
        self.differences[self.count - 1] = row;
        self.x.rotate_right(1);
        self.x[0] = x;
    }

    /// The values there, by as many differences as make what is added smaller.
    pub fn at(&self, x: f64) -> [f64; N] {
        self.with_last(x).0
    }

    /// The same with how much the last of those differences adds to the first value.
    pub fn with_last(&self, x: f64) -> ([f64; N], f64) {
        let mut sum = self.differences[0];
        let mut product = 1.0;
        let mut last = f64::INFINITY;
        for k in 1..self.count {
            product *= x - self.x[k - 1];
            let size = (product * self.differences[k][0]).abs();
            if size > last {
                break;
            }
            last = size;
            for (sum, difference) in sum.iter_mut().zip(self.differences[k]) {
                *sum += product * difference;
            }
        }
        (sum, last)
    }
}

impl Slope {
    /// Newton's step from an excess.
    pub fn step(self, excess_pa: f64) -> f64 {
        match self {
            Self::Unknown => f64::NAN,
            Self::Found(slope) | Self::Guessed(slope, _) => -excess_pa / slope,
        }
    }

    fn found(self) -> Option<f64> {
        match self {
            Self::Found(slope) => Some(slope),
            _ => None,
        }
    }
}

impl Column {
    /// Largest excess that still counts as none: that of a millionth of the column's length.
    pub fn residual_pa(&self) -> f64 {
        1e-6 * self.rho_l * G * (2.0 * self.submergence_m + self.lift_m.abs())
    }

    /// Water velocity at an air flux; none when nothing flows.
    ///
    /// # Errors
    /// [`Error::NotConverged`], a defect.
    pub fn water_velocity(&self, air_flux: f64) -> Result<Option<(f64, Carried)>, Error> {
        Ok(self
            .solved(air_flux)?
            .map(|(near, carried)| (near.j_l, carried)))
    }

    /// The same with the slope of the excess, where that is known.
    pub fn solved(&self, air_flux: f64) -> Result<Option<(Near, Carried)>, Error> {
        if self.surely_rises(air_flux) {
            let near = self.by_one_section(self.guess(air_flux).0, air_flux);
            if let Some(found) = self.settled(air_flux, near, &mut Foot::loose())? {
                return Ok(Some(found));
            }
        }
        let slope = Slope::Unknown;
        let found = self.water_velocity_from_rest(air_flux)?;
        Ok(found.map(|(j_l, carried)| (Near { j_l, slope }, carried)))
    }

    /// Whether water at rest is sure to be carried beyond the outlet, by one cross-section.
    ///
    /// The balance from the injection point to the mouth, without friction, is
    ///
    /// ```text
    /// excess = p0 − Δp_dev − p2 − M(p2) − ∫ [(1−α)ρ_l + αρ_g] g dz        M = ρ_g j_g²/α        Δp_dev = ρ_l g α(p1) L_dev
    /// ```
    ///
    /// Water at rest has the more void the lower its pressure is, since the gas is the faster, and the least at p0:
    /// with α0 for α everywhere the column is the heavier and M the larger, and the charge at the foot is paid back by
    /// the void above it, of which L − L_dev is left. The gas is densest at p0. A closure whose C₀ grows with the gas may
    /// turn that by some per cent: α0 is taken a tenth less. Where it were wrong all the same, a water velocity found from
    /// here still meets the balance, and there is only one that does.
    fn surely_rises(&self, air_flux: f64) -> bool {
        let length_m = self.needed_m(AT_REST);
        let (p0, p2) = (
            self.injection_pressure(AT_REST),
            self.mouth_pa(AT_REST, air_flux),
        );
        if p0 <= p2 || air_flux <= 0.0 {
            return false;
        }
        let foot = self.section(AT_REST, air_flux, p0);
        let alpha = 0.9 * foot.alpha;
        let j_g = self.gas_velocity(air_flux, p2);
        let momentum = self.gas_density(p2) * j_g * j_g / alpha;
        let carried_m = alpha * (length_m - self.undeveloped_m(length_m));
        let weight = (self.rho_l * (length_m - carried_m) + foot.rho_g * length_m) * G;
        momentum < 0.1 * p2 && p0 - p2 - momentum - weight > 0.0
    }

    /// A guess once more, by the closures' own cross-section in the middle for all of the column, which is in the balance of
    /// [`Column::surely_rises`] with the friction and ρ_l j_l² of the water that comes in.
    fn by_one_section(&self, near: Near, air_flux: f64) -> Near {
        let j_l = near.j_l;
        let (p0, p2) = (self.injection_pressure(j_l), self.mouth_pa(j_l, air_flux));
        // Where the gas expands more, the middle stands for less of the column.
        if !(p0 > p2 && p0 < 1.5 * p2) {
            return near;
        }
        let length_m = self.needed_m(j_l);
        let middle = self.section(j_l, air_flux, (p0 * p2).sqrt());
        let undeveloped = self.rho_l * G * middle.alpha * self.undeveloped_m(length_m);
        let excess = p0 + self.rho_l * j_l * j_l
            - undeveloped
            - p2
            - middle.m
            - length_m * self.gradient(&middle);
        let better = j_l + near.slope.step(excess);
        if better > 0.5 * j_l && better < 2.0 * j_l {
            Near {
                j_l: better,
                ..near
            }
        } else {
            near
        }
    }

    /// The same from the column at rest, by a bracket.
    fn water_velocity_from_rest(&self, air_flux: f64) -> Result<Option<(f64, Carried)>, Error> {
        let mut foot = Foot::default();
        let still = self.carried(AT_REST, air_flux, &mut foot)?;
        if still.excess_pa() <= self.rounding_pa() {
            return Ok(None);
        }
        // At the fastest flow the foot is below the atmosphere, and nothing is carried.
        let bracket = Bracket {
            low: AT_REST,
            f_low: still.excess_pa(),
            high: self.fastest_m_per_s(),
            f_high: -self.p_a,
        };
        let tolerance = Tolerance {
            relative: RELATIVE,
            absolute: RELATIVE * AT_REST,
            residual: self.residual_pa(),
            rounding: self.rounding_pa(),
        };
        let mut last = (AT_REST, still);
        let (Near { j_l: guess, .. }, bend) = self.guess(air_flux);
        let excess = |j_l| {
            last = (j_l, self.carried(j_l, air_flux, &mut foot)?);
            Ok(last.1.excess_pa())
        };
        let found = fallible(excess, |excess| {
            bracketed_near(Solve::WaterFlow, guess, bend, bracket, tolerance, excess)
        });
        let j_l = match found {
            // More water may leave the foot no room for the air, and then nothing is carried; seen where an outlet pipe of
            // 2.5 mm makes the column long. Up to the jump the water is carried.
            Err(Error::NotConverged {
                what: Solve::WaterFlow,
                low,
                high,
                ..
            }) if high - low < JUMP * high => low,
            found => found?,
        };
        if last.0 != j_l {
            last = (j_l, self.carried(j_l, air_flux, &mut foot)?);
        }
        Ok(Some(last))
    }

    /// A solution, ready to set out from for a column that is little different.
    pub fn near(&self, j_l: f64, air_flux: f64) -> Result<Near, Error> {
        let mut foot = Foot::default();
        let mut excess = |j_l: f64| Ok(self.carried(j_l, air_flux, &mut foot)?.excess_pa());
        let step = NEAR_STEP * j_l;
        let slope = (excess(j_l + step)? - excess(j_l)?) / step;
        Ok(Near {
            j_l,
            slope: Slope::Found(slope),
        })
    }

    /// The same as [`Column::water_velocity`], by secants from the solution of a column that is little different, or
    /// from a good guess: the water velocity of an air flux is unique, so wherever they settle is the solution. Where
    /// they do not, it is sought from the start.
    pub fn water_velocity_near(
        &self,
        air_flux: f64,
        near: Near,
    ) -> Result<Option<(Near, Carried)>, Error> {
        if let Some(found) = self.settled(air_flux, near, &mut Foot::default())? {
            return Ok(Some(found));
        }
        self.solved(air_flux)
    }

    /// Where secants settle; none where they leave the neighbourhood.
    fn settled(
        &self,
        air_flux: f64,
        near: Near,
        foot: &mut Foot,
    ) -> Result<Option<(Near, Carried)>, Error> {
        if !near.j_l.is_finite() {
            return Ok(None);
        }
        let mut first = (near.j_l, self.carried(near.j_l, air_flux, foot)?);
        // A column that is closer than a loose foot is worth: once more, with the foot as it should be.
        let least_pa = foot.tighten() * FOOT_SHARE * self.p_a;
        if first.1.excess_pa().abs() < least_pa {
            first.1 = self.carried(near.j_l, air_flux, foot)?;
        }
        // The last three tries, and how many of them there are yet.
        let (mut tries, mut count) = ([first; 3], 1);
        let mut slope = near.slope;
        for _ in 0..NEAR_STEPS {
            let [a, b, c] = &tries;
            let (x, off) = (c.0, c.1.excess_pa());
            let mut step = slope.step(off);
            let settled = off.abs() <= self.residual_pa();
            if off.abs() <= self.rounding_pa() || step.abs() <= RELATIVE * x {
                return Ok(settled.then_some((Near { j_l: x, slope }, c.1)));
            }
            if let Slope::Guessed(_, error) = slope
                && settled
                && step.abs() <= ONE_STEP[0] * x
                && error * step.abs() <= ONE_STEP[1] * x
                && c.1.ends.is_some()
            {
                let j_l = x + step;
                return Ok(Some((Near { j_l, slope }, c.1.moved(j_l))));
            }
            if count == 3 {
                step += bend([a, b].map(|(x, one)| (*x, one.excess_pa())), (x, off));
            }
            let next = x + step;
            // Far off, down at rest, or no number.
            if !(next > 0.5 * x && next < 2.0 * x && next > AT_REST) {
                break;
            }
            if count > 1 && settled {
                let off = |one: &(f64, Carried)| ((next - one.0) / x).abs();
                let of_line = off(b) * off(c);
                let left = if count == 3 {
                    of_line * off(a)
                } else {
                    of_line
                };
                if left <= LAST_STEPS
                    && let Some(carried) = self.between(&tries, count == 3, next, air_flux)
                {
                    return Ok(Some((Near { j_l: next, slope }, carried)));
                }
            }
            tries.rotate_left(1);
            tries[2] = (next, self.carried(next, air_flux, foot)?);
            count = (count + 1).min(3);
            slope = Slope::Found((tries[2].1.excess_pa() - off) / step);
        }
        Ok(None)
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
    pub fn guess(&self, air_flux: f64) -> (Near, f64) {
        let fastest = self.fastest_m_per_s();
        let (p0, p2) = (
            self.injection_pressure(AT_REST),
            self.mouth_pa(AT_REST, air_flux),
        );
        let length_m = self.needed_m(AT_REST);
        let j_g = self.gas_velocity(air_flux, (p0 * p2).sqrt());
        let gas = 1.2 * j_g + 0.35 * (G * self.d_m).sqrt();
        let carrying_m = j_g * (length_m - self.undeveloped_m(length_m));
        let lift_m = length_m - (p0 - p2) / (self.rho_l * G);
        let wall = 0.015 * length_m / (self.d_m * G);
        // (1 + K)/(2 g) is what makes the fastest flow the fastest.
        let square = self.submergence_m / (fastest * fastest) + wall;
        // Newton's method from the fast side, where the difference of the two sides is convex.
        let mut j_l = fastest;
        let mut slope = f64::NAN;
        for _ in 0..12 {
            let head_m = lift_m + (square * j_l + wall * j_g) * j_l;
            let off = head_m * (gas + 1.2 * j_l) - carrying_m;
            slope = (2.0 * square * j_l + wall * j_g) * (gas + 1.2 * j_l) + 1.2 * head_m;
            j_l -= off / slope;
            if off.abs() <= 1e-3 * carrying_m {
                break;
            }
        }
        let j_l = if j_l > 0.0 && j_l < fastest {
            j_l
        } else {
            0.1 * fastest
        };
        // The excess is ρ_l g times the difference of both sides over that of their denominator.
        let slope = -self.rho_l * G * slope / (gas + 1.2 * j_l);
        let slope = Slope::Found(slope);
        (Near { j_l, slope }, gas / 1.2)
    }
}

/// What the parabola through three points, of x as a function of f, adds to the secant through the last two.
fn bend([x, y]: [(f64, f64); 2], z: (f64, f64)) -> f64 {
    let inverse_slope = |a: (f64, f64), b: (f64, f64)| (b.0 - a.0) / (b.1 - a.1);
    z.1 * y.1 * (inverse_slope(y, z) - inverse_slope(x, y)) / (z.1 - x.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Five values determine a polynomial of the fourth degree, two a straight line; the oldest go.
    #[test]
    fn as_many_values_as_there_are_determine_a_polynomial() {
        let quartic = |x: f64| 1.0 + x * (1.0 + x / 2.0 * (1.0 + x / 3.0 * (1.0 + x / 4.0)));
        let mut newton = Newton::of(PATH_LENGTH);
        let mut line = Newton::of(2);
        for x in [9.0, -0.3, 0.1, 0.2, 0.5, 0.6, 0.6] {
            newton.keep(x, [quartic(x), 3.0 * x]);
            line.keep(x, [quartic(x)]);
        }
        for x in [0.55, 0.7, 0.9] {
            let [value, along] = newton.at(x);
            approx::assert_relative_eq!(value, quartic(x), max_relative = 1e-14);
            approx::assert_relative_eq!(along, 3.0 * x, max_relative = 1e-14);
            let slope = (quartic(0.6) - quartic(0.5)) / 0.1;
            let straight = quartic(0.6) + slope * (x - 0.6);
            approx::assert_relative_eq!(line.at(x)[0], straight, max_relative = 1e-14);
        }
        assert!(
            newton.has(-0.3)
                && !newton.has(9.0)
                && newton.reaches(-1.2, 1.0)
                && !newton.reaches(1.7, 1.0)
        );
    }

    /// 1 − (x − 0.3)² + (x − 0.3)³/5 is highest at 0.3, and has a valley at 0.3 + 10/3.
    #[test]
    fn the_top_of_a_polynomial_is_no_valley() {
        let mut newton = Newton::of(PATH_LENGTH);
        for x in [-0.2_f64, 0.1, 0.5, 0.7] {
            let off = x - 0.3;
            newton.keep(x, [1.0 - off * off + 0.2 * off.powi(3)]);
        }
        approx::assert_relative_eq!(newton.top(0.6), 0.3, max_relative = 1e-12);
        assert!(newton.top(3.0).is_nan());
    }

    /// Differences that grow are noise, or lead away: what was before them stands.
    #[test]
    fn no_difference_that_adds_more_than_the_one_before() {
        let mut newton = Newton::of(PATH_LENGTH);
        for (x, y) in [(0.0, 0.0), (1.0, 1.0), (1.1, 3.0)] {
            newton.keep(x, [y, 0.0]);
        }
        // First difference 20, second (20 − 1)/1.1 = 17.3: at 3 they add 38 and 17.3 · 1.9 · 2 = 66.
        approx::assert_relative_eq!(newton.at(3.0)[0], 3.0 + 20.0 * 1.9, max_relative = 1e-14);
        // At 1.2 they add 2 and 17.3 · 0.1 · 0.2 = 0.345.
        let second = 19.0 / 1.1 * 0.1 * 0.2;
        approx::assert_relative_eq!(newton.at(1.2)[0], 5.0 + second, max_relative = 1e-13);
    }
}
