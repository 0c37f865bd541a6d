//! What risers that differ only below the injection point have in common: the column above it.
//!
//! At an air flow that column just reaches the outlet from one pressure p1* at its foot, which depends on the water velocity
//! alone. Developing length and losses of the inlet say what arrives there:
//!
//! ```text
//! p1*(j_l) + M(p1*) + Δp_dev(p1*) = p0(j_l) + ρ_l j_l²
//! ```
//!
//! and where an outlet's head lets it reach by δ farther, W = d(p1 + M)/dz at the foot says how much more pressure that takes:
//!
//! ```text
//! p1* + M + W δ + dW/dz δ²/2
//! ```
//!
//! So few columns serve many such risers: between them p1* + M, the void, W and their changes are polynomials.

use super::column::{AT_REST, Column};
use super::outlet::Kernel;
use super::velocity::{LONGEST, Near, Newton};
use crate::error::Error;
use crate::units::GRAVITY_M_PER_S2 as G;

/// What may be left of a water velocity, relative, where the closures are smooth. Of 4,150 risers 30 were more off, the worst
/// by 0.1 %: there a closure bends between the columns. No interval shows that.
const LEFT: f64 = 1e-5;
/// The same of a height, over it, about the third power of a difference in height with how much W changes: of a column that
/// is kept, whose errors polynomials enlarge, and of another riser's.
const LEFT_HEIGHT: [f64; 2] = [1e-8, 1e-6];
/// How many columns are tried for one riser.
const TRIES: usize = 7;
/// Steps to where a polynomial's balance holds; the longest first step and the last one, relative.
const STEPS: usize = 12;
const FIRST_STEP: f64 = 0.5;
const LAST_STEP: f64 = 1e-6;
/// The first try for another riser, over the water velocity of the first one.
const FARTHEST: [f64; 2] = [0.3, 2.0];
/// From where a balance is sought once more, over the water velocity from where it was not found.
const AGAIN: f64 = 0.2;
/// Steps of the foot's pressure, and the largest one, over the height.
const FOOT_STEPS: usize = 5;
const FOOT_FARTHEST: f64 = 0.5;
/// Largest share of momentum flux and charge in the foot's pressure: far below it there is one pressure that balances them.
const LARGEST_SHARE: f64 = 0.2;

/// The column above the injection point at an air flow.
#[derive(Debug, Clone)]
pub(super) struct Above {
    column: Column,
    air_flux: f64,
    /// Over the water velocity: p1* + M and the void.
    foot: Newton<2>,
    /// W, and how it and the void change with the height.
    deeper: Newton<3>,
    /// The last water velocity, what of M is the gas's there, and how the balance of the last riser fell with the velocity.
    last: f64,
    gas_momentum: f64,
    slope: f64,
    /// The foot at rest, once that was asked for.
    rest: Option<Foot>,
    /// The foot of the own riser.
    own: [f64; 2],
}

/// What is at the foot of a column that reaches its outlet.
#[derive(Debug, Clone, Copy)]
struct Foot {
    /// p1* + M.
    needed: f64,
    alpha: f64,
    /// Momentum flux.
    m: f64,
    deeper: Deeper,
}

/// Where a balance was found.
enum Sought {
    At(f64),
    /// Not among what is known: lower, if anywhere.
    Below,
    Nowhere,
}

/// How it changes with the height: W, dW/dz and dα/dz.
#[derive(Debug, Clone, Copy)]
struct Deeper([f64; 3]);

impl Above {
    /// Of a riser whose water velocity and foot are solved.
    pub fn of(column: &Column, air_flux: f64, j_l: f64, foot_pa: f64) -> Option<Self> {
        // Of a steep void the foot may have more than one pressure.
        if column.slip.closure.is_steep() {
            return None;
        }
        let foot = column.section(j_l, air_flux, foot_pa);
        let mut own = Self {
            column: *column,
            air_flux,
            foot: Newton::of(LONGEST),
            deeper: Newton::of(LONGEST),
            last: j_l,
            gas_momentum: column.gas_momentum(j_l, foot.alpha, foot.m),
            slope: f64::NAN,
            rest: None,
            own: [j_l, foot_pa],
        };
        own.foot.keep(j_l, [foot_pa + foot.m, foot.alpha]);
        Some(own)
    }

    /// Whether a riser has this column above its injection point, but for how high it must reach.
    fn is_of(&self, column: &Column) -> bool {
        let own = &self.column;
        let head = own.outlet.head;
        let same_but_high = Column {
            developing_m: own.developing_m,
            k_in: own.k_in,
            outlet: Kernel {
                head,
                ..column.outlet
            },
            ..*column
        };
        let other = column.outlet.head;
        same_but_high == *own && (head == other || head.is_of_mixture() && other.is_of_mixture())
    }

    /// The water velocity of a riser that has it, nought where nothing flows; none where it does not have it, or where that is
    /// not found from here.
    pub fn water_velocity(&mut self, column: &Column) -> Result<Option<f64>, Error> {
        if !self.is_of(column) {
            return Ok(None);
        }
        let higher = column.outlet.head != self.column.outlet.head;
        if higher && self.deeper.count == 0 {
            let [j_l, foot_pa] = self.own;
            let Some(foot) = self.solved(j_l, foot_pa)? else {
                return Ok(None);
            };
            self.deeper.keep(j_l, foot.deeper.0);
        }
        match self.sought(column, self.last)? {
            Sought::Nowhere => Ok(None),
            Sought::At(j_l) => Ok(Some(j_l)),
            Sought::Below => self.low(column),
        }
    }

    /// The same where no balance was found among what is known: perhaps nothing flows, or so little that closures bend.
    fn low(&mut self, column: &Column) -> Result<Option<f64>, Error> {
        if self.rest.is_none() {
            self.rest = self.solved(AT_REST, self.own[1])?;
        }
        let Some(rest) = self.rest else {
            return Ok(None);
        };
        let by_m = column.needed_m(AT_REST) - self.column.needed_m(AT_REST);
        let [needed, alpha] = rest.deeper.moved([rest.needed, rest.alpha], by_m);
        let arriving = arriving(column, AT_REST, alpha, &mut [f64::NAN; 2]);
        if arriving < needed - column.residual_pa() {
            return Ok(Some(0.0));
        }
        let lowest = self.foot.least();
        let mut between = self.clone();
        between.foot.count = 0;
        between.foot.keep(lowest, self.foot.at(lowest));
        between.keep(AT_REST, &rest);
        Ok(match between.sought(column, AGAIN * lowest)? {
            Sought::At(j_l) => Some(j_l),
            Sought::Below | Sought::Nowhere => None,
        })
    }

    fn sought(&mut self, column: &Column, mut from: f64) -> Result<Sought, Error> {
        for _ in 0..TRIES {
            let Some((j_l, slope)) = self.balanced(column, from) else {
                return Ok(Sought::Below);
            };
            self.slope = slope;
            let ([mut needed, alpha], last) = self.foot.with_last(j_l);
            if self.foot.count < 2 {
                needed += self.balance(column, j_l, &mut [f64::NAN; 2]);
            }
            let water = column.rho_l * j_l * j_l;
            let foot_pa = needed - water / (1.0 - alpha) - self.gas_momentum;
            let left = LEFT * j_l;
            if self.foot.reaches(j_l, left) || self.foot.count > 2 && last <= left * slope.abs() {
                let charge = column.injection_pressure(j_l) + water - foot_pa;
                let by_m = column.needed_m(j_l) - self.column.needed_m(j_l);
                let told = by_m == 0.0
                    || Deeper(self.deeper.at(j_l)).left(by_m, column.needed_m(j_l))
                        <= LEFT_HEIGHT[1];
                return Ok(if told && charge <= LARGEST_SHARE * foot_pa {
                    Sought::At(j_l)
                } else {
                    Sought::Nowhere
                });
            }
            let Some(foot) = self.solved(j_l, foot_pa)? else {
                break;
            };
            self.keep(j_l, &foot);
            (self.last, from) = (j_l, j_l);
            self.gas_momentum = column.gas_momentum(j_l, foot.alpha, foot.m);
        }
        Ok(Sought::Nowhere)
    }

    fn keep(&mut self, j_l: f64, foot: &Foot) {
        self.foot.keep(j_l, [foot.needed, foot.alpha]);
        self.deeper.keep(j_l, foot.deeper.0);
    }

    /// The foot at a water velocity, from about its pressure; none where the column does not reach its outlet in the
    /// plainest way.
    fn solved(&self, j_l: f64, mut foot_pa: f64) -> Result<Option<Foot>, Error> {
        let column = &self.column;
        let needed_m = column.needed_m(j_l);
        for _ in 0..FOOT_STEPS {
            #[cfg(test)]
            super::effort::count();
            let foot = column.section(j_l, self.air_flux, foot_pa);
            let Some((top, false)) = column.top(j_l, self.air_flux, foot_pa)? else {
                break;
            };
            if foot_pa <= top.p {
                break;
            }
            let there = column.height_to(&top, &foot, self.air_flux);
            let by_m = needed_m - there.height_m;
            if by_m.is_nan() || by_m.abs() >= FOOT_FARTHEST * there.height_m {
                break;
            }
            let [bend, fall] =
                [there.gradient_per_pa, there.alpha_per_pa].map(|x| x / there.per_pa);
            let deeper = Deeper([there.gradient_pa_per_m, bend, fall]);
            if deeper.left(by_m, needed_m) <= LEFT_HEIGHT[0] {
                let [needed, alpha] = deeper.moved([foot_pa + foot.m, foot.alpha], by_m);
                return Ok(Some(Foot {
                    needed,
                    alpha,
                    m: foot.m,
                    deeper: Deeper([there.gradient_pa_per_m + bend * by_m, bend, fall]),
                }));
            }
            foot_pa += by_m / there.per_pa;
        }
        Ok(None)
    }

    /// What arrives at the foot of a riser beyond what its column needs, by the polynomials.
    fn balance(&self, column: &Column, j_l: f64, undeveloped: &mut [f64; 2]) -> f64 {
        let mut foot = self.foot.at(j_l);
        if column.outlet.head != self.column.outlet.head {
            let by_m = column.needed_m(j_l) - self.column.needed_m(j_l);
            foot = Deeper(self.deeper.at(j_l)).moved(foot, by_m);
        }
        let [needed, alpha] = foot;
        arriving(column, j_l, alpha, undeveloped) - needed
    }

    /// Where the balance at the foot of a riser holds, by the polynomials, and how it falls there with the water velocity.
    fn balanced(&self, column: &Column, from: f64) -> Option<(f64, f64)> {
        let mut known = [f64::NAN; 2];
        let mut balance = |j_l: f64| self.balance(column, j_l, &mut known);
        let mut x = from;
        let mut off = balance(x);
        if self.foot.count < 2 {
            // What one column does not tell, the textbook does.
            let (Near { slope, .. }, _) = column.guess(self.air_flux);
            let step = slope.step(off);
            let next = (x + step).clamp(FARTHEST[0] * x, FARTHEST[1] * x);
            return next.is_finite().then(|| (next, -off / step));
        }
        // A step along the slope of the last riser, which is nearly right.
        let step = (-off / self.slope).clamp(-FIRST_STEP * x, FIRST_STEP * x);
        if step.abs() <= LAST_STEP * x {
            return Some((x + step, self.slope));
        }
        let mut y = x + step;
        for _ in 0..STEPS {
            let there = balance(y);
            let slope = (there - off) / (y - x);
            let next = y - there / slope;
            if !(slope < 0.0 && next > 0.0 && next < column.fastest_m_per_s()) {
                return None;
            }
            if (next - y).abs() <= LAST_STEP * next {
                return Some((next, slope));
            }
            (x, off, y) = (y, there, next);
        }
        None
    }
}

impl Deeper {
    /// p1 + M and α at a foot that is so much deeper.
    fn moved(self, [needed, alpha]: [f64; 2], by_m: f64) -> [f64; 2] {
        let [gradient, bend, fall] = self.0;
        [
            needed + (gradient + 0.5 * bend * by_m) * by_m,
            alpha + fall * by_m,
        ]
    }

    /// About what that leaves of a height, over it.
    fn left(self, by_m: f64, height_m: f64) -> f64 {
        let [gradient, bend, _] = self.0;
        (0.5 * bend / gradient * height_m * (by_m / height_m).powi(3)).abs()
    }
}

impl Column {
    /// What is left of a momentum flux without the water's, ρ_g j_g²/α.
    fn gas_momentum(&self, j_l: f64, alpha: f64, m: f64) -> f64 {
        m - self.rho_l * j_l * j_l / (1.0 - alpha)
    }
}

/// What arrives at the foot of a riser, p0 + ρ_l j_l² − Δp_dev; with a length and what of it carries no void yet.
fn arriving(column: &Column, j_l: f64, alpha: f64, undeveloped: &mut [f64; 2]) -> f64 {
    let length_m = column.needed_m(j_l);
    if undeveloped[0] != length_m {
        *undeveloped = [length_m, column.undeveloped_m(length_m)];
    }
    column.injection_pressure(j_l) + column.rho_l * (j_l * j_l - G * alpha * undeveloped[1])
}

#[cfg(test)]
mod tests {
    use super::super::agreement::{CLASSES, Draw, column};
    use super::super::outlet::Head;
    use super::super::search::Onset;
    use super::*;
    use crate::error::Solve;

    /// What one riser's solution tells of others is what they do by themselves.
    #[test]
    fn risers_that_differ_below_are_as_by_themselves() {
        let mut draw = Draw(17);
        let [mut found, mut asked, mut none, mut bent] = [0; 4];
        for n in 0..300 {
            let own = column(&CLASSES[n % 3], &mut draw);
            let (Onset::At(threshold), Onset::At(peak)) = (
                own.onset(AT_REST, Solve::Threshold, None).unwrap(),
                own.peak().unwrap(),
            ) else {
                continue;
            };
            for share in [0.05_f64, 0.4, 1.1] {
                let flux = threshold * (peak / threshold).powf(share);
                let Some(mut above) = above(&own, flux) else {
                    continue;
                };
                let length_m = 0.02 * own.needed_m(AT_REST) + own.developing_m;
                for (developing_m, k_in) in [
                    (0.5 * own.developing_m, own.k_in),
                    (length_m, own.k_in),
                    (own.developing_m.max(8.0 * own.d_m), own.k_in),
                    (own.developing_m, own.k_in + 0.5),
                    (0.0, 0.0),
                ] {
                    let other = Column {
                        developing_m,
                        k_in,
                        ..own
                    };
                    assert!(above.is_of(&other));
                    asked += 1;
                    let Some(j_l) = above.water_velocity(&other).unwrap() else {
                        continue;
                    };
                    found += 1;
                    let Some((alone, _)) = other.water_velocity(flux).unwrap() else {
                        assert_eq!(j_l, 0.0, "{n}, {share}");
                        none += 1;
                        continue;
                    };
                    let off = (j_l / alone - 1.0).abs();
                    assert!(off < 1e-3, "{n}, {share}: {j_l}, alone {alone}");
                    bent += usize::from(off > LEFT);
                }
            }
        }
        assert!(
            asked > 2000 && 20 * found > 19 * asked,
            "{found} of {asked}"
        );
        assert!(none > 40, "{none} without water");
        assert!(50 * bent < found, "{bent} of {found}");
    }

    /// With an outlet's head otherwise the column must reach farther, or less far; where it is of clear water, another
    /// pressure at the top makes it another column.
    #[test]
    fn another_head_is_another_height() {
        let mut draw = Draw(18);
        let [mut found, mut asked, mut of_water, mut bent] = [0; 4];
        for n in 0..400 {
            let mut own = column(&CLASSES[n % 2], &mut draw);
            let Onset::At(peak) = own.peak().unwrap() else {
                continue;
            };
            let flux = 0.3 * peak;
            for water in [false, true] {
                if let (true, Head::BrinkMixture(pipe, factor)) = (water, own.outlet.head) {
                    own.outlet.head = Head::BrinkWater(pipe, factor);
                }
                let Some(mut above) = above(&own, flux) else {
                    continue;
                };
                for factor in [0.0, 0.7, 1.3] {
                    let Some(outlet) = own.outlet.with_head_factor(factor) else {
                        continue;
                    };
                    let other = Column { outlet, ..own };
                    let told = above.water_velocity(&other).unwrap();
                    if !own.outlet.head.is_of_mixture() {
                        assert!(told.is_none());
                        of_water += 1;
                        continue;
                    }
                    asked += 1;
                    let Some(j_l) = told else { continue };
                    let alone = other.water_velocity(flux).unwrap().unwrap().0;
                    let off = (j_l / alone - 1.0).abs();
                    assert!(off < 2e-3, "{n}, {factor}: {j_l}, alone {alone}");
                    bent += usize::from(off > LEFT);
                    found += 1;
                }
            }
        }
        assert!(
            asked > 500 && of_water > 100 && 6 * found > 5 * asked,
            "{found} of {asked}, {of_water}"
        );
        assert!(40 * bent < found, "{bent} of {found}");
    }

    /// From a foot pressure that is off by a tenth of the difference to the top as from one that is right.
    #[test]
    fn a_column_is_as_close_from_a_bad_guess() {
        let mut draw = Draw(19);
        let mut tried = 0;
        for n in 0..60 {
            let own = column(&CLASSES[n % 2], &mut draw);
            let Onset::At(peak) = own.peak().unwrap() else {
                continue;
            };
            let Some(above) = above(&own, 0.3 * peak) else {
                continue;
            };
            let [j_l, foot_pa] = above.own;
            let difference_pa = foot_pa - own.p_a;
            let needed = |off: f64| {
                let found = above.solved(j_l, foot_pa + off * difference_pa).unwrap();
                found.map(|foot| foot.needed)
            };
            let (Some(right), Some(from_above), Some(from_below)) =
                (needed(0.0), needed(0.1), needed(-0.1))
            else {
                continue;
            };
            for found in [from_above, from_below] {
                let off = (found - right).abs() / difference_pa;
                assert!(off < 3.0 * LEFT_HEIGHT[0], "{n}: {off}");
            }
            tried += 1;
        }
        assert!(tried > 40, "{tried}");
    }

    /// Of a riser with its own solution.
    fn above(own: &Column, flux: f64) -> Option<Above> {
        let (j_l, carried) = own.water_velocity(flux).unwrap()?;
        Above::of(own, flux, j_l, carried.ends?.0.p)
    }
}
