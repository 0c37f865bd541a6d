//! What risers that differ only below the injection point have in common: the column above it.
//!
//! At an air flow that column just reaches the outlet from one pressure p1* at its foot, which depends on the water velocity
//! alone. Developing length and losses of the inlet say what arrives there:
//!
//! ```text
//! p1*(j_l) + M(p1*) + Δp_dev(p1*) = p0(j_l) + ρ_l j_l²
//! ```
//!
//! So few columns serve many such risers: between them p1* + M and the void are polynomials.

use super::column::Column;
use super::velocity::{LONGEST, Near, Newton};
use crate::error::Error;
use crate::units::GRAVITY_M_PER_S2 as G;

/// What may be left of a water velocity, relative, where the closures are smooth. Of 3,000 risers 14 were more off, one by 1e-4:
/// there a closure bends between the columns. No interval shows that.
const LEFT: f64 = 1e-6;
/// How many columns are tried for one riser.
const TRIES: usize = 7;
/// Steps to where a polynomial's balance holds, and the last step, relative.
const STEPS: usize = 12;
const LAST_STEP: f64 = 1e-8;
/// The first try for another riser, over the water velocity of the first one.
const FARTHEST: [f64; 2] = [0.3, 2.0];
/// Steps of the foot's pressure, and the last step over the pressure difference: what it leaves is about its square.
const FOOT_STEPS: usize = 5;
const FOOT_LAST: f64 = 3e-4;
/// Largest share of momentum flux and charge in the foot's pressure: far below it there is one pressure that balances them.
const LARGEST_SHARE: f64 = 0.2;

/// The column above the injection point at an air flow.
#[derive(Debug, Clone)]
pub(super) struct Above {
    column: Column,
    air_flux: f64,
    /// Over the water velocity: p1* + M, the void there, and p1*.
    foot: Newton<3>,
    /// The last of those water velocities.
    last: f64,
}

impl Above {
    /// Of a riser whose water velocity and foot are solved.
    pub fn of(column: &Column, air_flux: f64, j_l: f64, foot_pa: f64) -> Option<Self> {
        // Of a steep void the foot may have more than one pressure.
        if column.slip.closure.is_steep() {
            return None;
        }
        let mut own = Self::empty(column, air_flux, j_l);
        own.keep(j_l, foot_pa);
        Some(own)
    }

    /// Of another column, little different; none where it does not reach its outlet at the same velocity.
    pub fn beside(&self, column: &Column) -> Result<Option<Self>, Error> {
        let mut other = Self::empty(column, self.air_flux, self.last);
        let [.., foot_pa] = self.foot.at(self.last);
        Ok(other.learn(self.last, foot_pa)?.map(|()| other))
    }

    fn empty(column: &Column, air_flux: f64, last: f64) -> Self {
        Self {
            column: *column,
            air_flux,
            foot: Newton::of(LONGEST),
            last,
        }
    }

    /// Whether a riser has this column above its injection point.
    pub fn is_of(&self, column: &Column) -> bool {
        let same_below = Column {
            developing_m: self.column.developing_m,
            k_in: self.column.k_in,
            ..*column
        };
        same_below == self.column
    }

    /// The water velocity of a riser that has it; none where it is not found from here.
    pub fn water_velocity(&mut self, column: &Column) -> Result<Option<f64>, Error> {
        for _ in 0..TRIES {
            let Some((j_l, slope)) = self.balanced(column) else {
                return Ok(None);
            };
            let ([needed, alpha, foot_pa], last) = self.foot.with_last(j_l);
            let left = LEFT * j_l;
            if self.foot.reaches(j_l, left) || self.foot.count > 2 && last <= left * slope.abs() {
                let charge = column.injection_pressure(j_l) + column.rho_l * j_l * j_l - foot_pa;
                return Ok((charge <= LARGEST_SHARE * foot_pa).then_some(j_l));
            }
            let foot_pa = if self.foot.count > 1 {
                foot_pa
            } else {
                arriving(column, j_l, alpha, &mut [f64::NAN; 2]) - (needed - foot_pa)
            };
            if self.learn(j_l, foot_pa)?.is_none() {
                return Ok(None);
            }
        }
        Ok(None)
    }

    /// One water velocity more, with about the pressure at its foot; none where the column does not reach its outlet in
    /// the plainest way.
    fn learn(&mut self, j_l: f64, mut foot_pa: f64) -> Result<Option<()>, Error> {
        let column = &self.column;
        let needed_m = column.needed_m(j_l);
        for _ in 0..FOOT_STEPS {
            #[cfg(test)]
            super::effort::count();
            let foot = column.section(j_l, self.air_flux, foot_pa);
            let Some((top, false)) = column.top(j_l, self.air_flux, foot_pa)? else {
                break;
            };
            let difference_pa = foot_pa - top.p;
            let [height_m, slope] = column.height_and_slope(&top, &foot, self.air_flux);
            let step = (needed_m - height_m) / slope;
            // Also where it is no number.
            if !(difference_pa > 0.0 && step.abs() < 0.5 * difference_pa) {
                break;
            }
            foot_pa += step;
            if step.abs() <= FOOT_LAST * difference_pa {
                self.keep(j_l, foot_pa);
                return Ok(Some(()));
            }
        }
        Ok(None)
    }

    fn keep(&mut self, j_l: f64, foot_pa: f64) {
        let foot = self.column.section(j_l, self.air_flux, foot_pa);
        self.foot.keep(j_l, [foot_pa + foot.m, foot.alpha, foot_pa]);
        self.last = j_l;
    }

    /// Where the balance at the foot of a riser holds, by the polynomials, and how it falls there with the water velocity.
    fn balanced(&self, column: &Column) -> Option<(f64, f64)> {
        let mut known = [f64::NAN; 2];
        let mut balance = |j_l: f64| {
            let [needed, alpha, _] = self.foot.at(j_l);
            arriving(column, j_l, alpha, &mut known) - needed
        };
        let mut x = self.last;
        let mut off = balance(x);
        if self.foot.count < 2 {
            // What one column does not tell, the textbook does.
            let (Near { slope, .. }, _) = column.guess(self.air_flux);
            let step = slope.step(off);
            let next = (x + step).clamp(FARTHEST[0] * x, FARTHEST[1] * x);
            return next.is_finite().then(|| (next, -off / step));
        }
        let mut y = x * (1.0 + 1e-3);
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
    use super::super::column::AT_REST;
    use super::super::search::Onset;
    use super::*;
    use crate::error::Solve;

    /// What one riser's solution tells of others is what they do by themselves.
    #[test]
    fn risers_that_differ_below_are_as_by_themselves() {
        let mut draw = Draw(17);
        let [mut found, mut asked, mut bent] = [0; 3];
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
                let Some((j_l, carried)) = own.water_velocity(flux).unwrap() else {
                    continue;
                };
                let foot_pa = carried.ends.unwrap().0.p;
                let Some(mut above) = Above::of(&own, flux, j_l, foot_pa) else {
                    continue;
                };
                let length_m = 0.02 * own.needed_m(j_l) + own.developing_m;
                for (developing_m, k_in) in [
                    (0.5 * own.developing_m, own.k_in),
                    (length_m, own.k_in),
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
                    if let Some(j_l) = above.water_velocity(&other).unwrap() {
                        let alone = other.water_velocity(flux).unwrap().unwrap().0;
                        let off = (j_l / alone - 1.0).abs();
                        assert!(off < 1e-3, "{n}, {share}: {j_l}, alone {alone}");
                        bent += usize::from(off > 1e-6);
                        found += 1;
                    }
                }
            }
        }
        assert!(
            asked > 2000 && 20 * found > 19 * asked,
            "{found} of {asked}"
        );
        assert!(100 * bent < found, "{bent} of {found}");
    }

    /// With an outlet's head otherwise the column is another, found from the first.
    #[test]
    fn another_head_is_another_column() {
        let mut draw = Draw(18);
        let mut found = 0;
        for _ in 0..200 {
            let own = column(&CLASSES[0], &mut draw);
            let Some(outlet) = own.outlet.with_head_factor(1.3) else {
                continue;
            };
            let other = Column { outlet, ..own };
            let Onset::At(peak) = own.peak().unwrap() else {
                continue;
            };
            let flux = 0.3 * peak;
            let Some((j_l, carried)) = own.water_velocity(flux).unwrap() else {
                continue;
            };
            let above = Above::of(&own, flux, j_l, carried.ends.unwrap().0.p);
            let Some(above) = above else { continue };
            assert!(!above.is_of(&other));
            let Some(mut beside) = above.beside(&other).unwrap() else {
                continue;
            };
            let Some(j_l) = beside.water_velocity(&other).unwrap() else {
                continue;
            };
            let alone = other.water_velocity(flux).unwrap().unwrap().0;
            approx::assert_relative_eq!(j_l, alone, max_relative = 1e-6);
            found += 1;
        }
        assert!(found > 20, "{found}");
    }
}
