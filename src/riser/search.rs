//! Searches over the air flow, in plain SI: onset of a water velocity, peak, best efficiency.
//!
//! The height that the column carries beyond what it must is a function of water velocity and air
//! flux. At a fixed water velocity it first grows with the air (the column gets lighter) and then
//! falls (friction): where it passes zero for the first time is the efficient branch. Asking for the
//! air of a wanted flow this way needs no nested solve.

use std::cell::RefCell;

use super::column::{AT_REST, Carried, Column};
use super::ends::Foot;
use super::velocity::{Newton, PATH_LENGTH, Path};
use crate::error::{Error, Solve};
use crate::solve::{Bracket, Tolerance, bracketed, fallible};
use crate::units::GRAVITY_M_PER_S2;

/// Ratio of neighbouring air flows of a scan.
const STRIDE: f64 = 2.0;
/// Ratio of neighbouring submergences of a scan.
const DEEPER: f64 = 1.25;
/// Gas velocity at the injection point at which a scan ends, m/s: beyond the choking of any column. With
/// M ≥ ρ_g j_g² no p1 + M(p1) is as small as the pressure p at which the gas would move at √(RT)/2 (140 m/s)
/// or more.
pub(super) const FASTEST_GAS: f64 = 600.0;
/// Ratio of air flows beside a guess, squared at each further try, and how many tries there are.
const NEARBY: f64 = 1.05;
const NEAR_TRIES: usize = 4;
/// Step of a central difference in the logarithm of the air flux.
const STEP: f64 = 1e-4;
/// Step of a scan for a maximum, in the logarithm of the air flux.
const SCAN: f64 = 0.47;
/// Step of a second scan around the best of the first.
const FINE: f64 = 0.06;
/// Superficial velocities of the gas at the mouth, over √(g D), at which a scan for the peak ends, and from which it goes
/// both ways where water flows there.
const LEAST: f64 = 1e-3;
const MIDDLE: f64 = 4.0;
/// Share of the highest value below which a scan has seen enough.
const WELL_BELOW: f64 = 0.8;
/// What a scan may leave of a water velocity, relative: by large steps, and by small ones to tell two maxima that are nearly alike.
const ROUGH: f64 = 4e-4;
const LESS_ROUGH: f64 = 1e-6;
/// Distance of three points around the peak, in the logarithm of the air flux, and how many more are tried.
const AROUND: f64 = 0.04;
const TOP_TRIES: usize = 4;
/// Step of the top of a polynomial, in the same, from which its next top is the maximum to a tenth of it and better.
const TOP_SETTLED: f64 = 1e-5;
/// How far the top of a parabola through three points of a scan may be from the maximum, in steps.
const TOP: f64 = 0.1;
/// Void fraction that gas in water at rest stays below, 1/C₀ with C₀ = 1.2: it rises as slugs at
/// 1.2 j_g + 0.35 √(g D) ([Nicklin et al. 1962](crate::references::NICKLIN_1962)). A closure whose C₀
/// falls to 1 without liquid flow, as the default does, passes it on the way to 1, where a column has no
/// top; it says nothing of a level there.
pub(super) const STILL_VOID: f64 = 1.0 / 1.2;
/// Width in the logarithm of the air flux, or of a lift over the submergence, within which an excess that changes its sign
/// and has no zero is a jump.
const JUMP: f64 = 1e-6;
/// Golden section, (√5 − 1)/2.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// Where a water velocity is first carried, as the air flux grows.
#[derive(Debug, Clone, Copy)]
pub(super) enum Onset {
    /// Even without air.
    WithoutAir,
    /// From this flux on.
    At(f64),
    /// At no flux; the one that comes nearest.
    Never { nearest: f64 },
}

/// The same, sought as far as two neighbouring fluxes.
#[derive(Debug, Clone, Copy)]
pub(super) enum Rise {
    WithoutAir,
    /// Carried at the high flux and not at the low one, with the excess at each.
    Between(Bracket),
    /// Carried at any flux of the scan; the smallest of them.
    From(f64),
    Never {
        nearest: f64,
    },
}

/// The best point of a scan, and the values a step below and above it; no numbers where they are not known.
struct Highest {
    x: f64,
    value: f64,
    sides: [f64; 2],
}

impl Highest {
    fn at((x, value): (f64, f64)) -> Self {
        let sides = [f64::NAN; 2];
        Self { x, value, sides }
    }

    /// Goes by steps, up or down, from a point that is tried already to where the value has fallen well below the highest.
    fn climb(
        &mut self,
        (from, mut last): (f64, f64),
        to: f64,
        step: f64,
        value: impl Fn(f64) -> Result<f64, Error>,
    ) -> Result<(), Error> {
        let [behind, ahead] = if step > 0.0 { [0, 1] } else { [1, 0] };
        let mut x = from + step;
        while (to - x) * step > 0.0 {
            let here = value(x)?;
            if here > self.value {
                *self = Self::at((x, here));
                self.sides[behind] = last;
            } else {
                if last == self.value {
                    self.sides[ahead] = here;
                }
                if here < WELL_BELOW * self.value {
                    break;
                }
            }
            last = here;
            x += step;
        }
        Ok(())
    }

    /// Where the parabola through the three points is highest; the best of them where a side is not known.
    fn top(&self, step: f64) -> f64 {
        let [rise, fall] = self.sides.map(|side| self.value - side);
        let aside = 0.5 * step * (rise - fall) / (rise + fall);
        self.x + if aside.is_finite() { aside } else { 0.0 }
    }
}

impl Column {
    fn excess(&self, j_l: f64, flux: f64, neighbour: &mut Foot) -> Result<f64, Error> {
        Ok(self.carried(j_l, flux, neighbour)?.excess_pa())
    }

    /// A flux whose gas velocity at the atmosphere is `velocity`.
    fn flux_of(&self, velocity: f64) -> f64 {
        velocity / self.gas_velocity(1.0, self.p_a)
    }

    /// An air flux beyond all that a column can take in.
    fn largest_flux(&self) -> f64 {
        FASTEST_GAS
            / self.gas_velocity(
                1.0,
                self.p_a + self.rho_l * GRAVITY_M_PER_S2 * self.submergence_m,
            )
    }

    /// The smallest air flux that carries a water velocity. A guess saves tries below the peak, where no other flux
    /// begins to carry it.
    pub fn onset(&self, j_l: f64, what: Solve, guess: Option<f64>) -> Result<Onset, Error> {
        let mut foot = Foot::default();
        let near = match guess {
            Some(guess) => self.rise_near(j_l, guess, &mut foot)?,
            None => None,
        };
        let rise = match near {
            Some(bracket) => Rise::Between(bracket),
            None => self.rise(j_l, &mut foot)?,
        };
        let bracket = match rise {
            Rise::WithoutAir => return Ok(Onset::WithoutAir),
            Rise::From(flux) => return Ok(Onset::At(flux)),
            Rise::Never { nearest } => return Ok(Onset::Never { nearest }),
            Rise::Between(Bracket {
                low,
                f_low,
                high,
                f_high,
            }) => Bracket {
                low: low.ln(),
                f_low,
                high: high.ln(),
                f_high,
            },
        };
        let tolerance = Tolerance {
            relative: 0.0,
            absolute: 1e-9,
            residual: self.residual_pa(),
            rounding: self.rounding_pa(),
        };
        let excess = |x: f64| self.excess(j_l, x.exp(), &mut foot);
        let x = match fallible(excess, |excess| bracketed(what, bracket, tolerance, excess)) {
            // The excess may jump past zero as the air grows; seen with a developing length of 24 m, and in pipe of
            // 0.8 m. The water is carried from behind the jump on.
            Err(Error::NotConverged {
                what: sought,
                low,
                high,
                ..
            }) if sought == what && high - low < JUMP => high,
            found => found?,
        };
        Ok(Onset::At(x.exp()))
    }

    /// Two air fluxes beside a guess of which the larger carries a water velocity; none where it is far from the guess.
    fn rise_near(&self, j_l: f64, guess: f64, foot: &mut Foot) -> Result<Option<Bracket>, Error> {
        let mut last = (guess, self.excess(j_l, guess, foot)?);
        let down = last.1 > 0.0;
        let mut stride = NEARBY;
        for _ in 0..NEAR_TRIES {
            let flux = if down {
                last.0 / stride
            } else {
                last.0 * stride
            };
            let here = (flux, self.excess(j_l, flux, foot)?);
            if (here.1 > 0.0) != down {
                let [(low, f_low), (high, f_high)] = if down { [here, last] } else { [last, here] };
                return Ok(Some(Bracket {
                    low,
                    f_low,
                    high,
                    f_high,
                }));
            }
            last = here;
            stride *= stride;
        }
        Ok(None)
    }

    /// Neighbouring air fluxes, of which the larger carries a water velocity.
    fn rise(&self, j_l: f64, foot: &mut Foot) -> Result<Rise, Error> {
        if self.excess(j_l, 0.0, foot)? >= 0.0 {
            return Ok(Rise::WithoutAir);
        }
        if j_l >= self.fastest_m_per_s() {
            return Ok(Rise::Never { nearest: 0.0 });
        }
        let last = self.largest_flux();
        let mut flux = self.flux_of(0.05 * (j_l + (GRAVITY_M_PER_S2 * self.d_m).sqrt()));
        let mut here = self.excess(j_l, flux, foot)?;
        // Down to where nothing is carried yet, if the start is beyond that.
        while here > 0.0 {
            flux /= STRIDE * STRIDE;
            if flux < last * 1e-14 {
                return Ok(Rise::From(flux));
            }
            here = self.excess(j_l, flux, foot)?;
        }
        let (mut low, mut f_low) = (flux, here);
        let (mut best, mut f_best) = (flux, here);
        while flux < last {
            flux *= STRIDE;
            here = self.excess(j_l, flux, foot)?;
            if here > 0.0 {
                return Ok(Rise::Between(Bracket {
                    low,
                    f_low,
                    high: flux,
                    f_high: here,
                }));
            }
            (low, f_low) = (flux, here);
            if here > f_best {
                (best, f_best) = (flux, here);
            }
        }
        // The maximum may pass zero between two fluxes of the scan.
        (low, f_low) = (best / STRIDE, self.excess(j_l, best / STRIDE, foot)?);
        let excess = |x: f64| self.excess(j_l, x.exp(), foot);
        let (x, f_high) = highest((best / STRIDE).ln(), (best * STRIDE).ln(), 0.0, excess)?;
        let high = x.exp();
        Ok(if f_high <= 0.0 || f_low > 0.0 {
            Rise::Never { nearest: high }
        } else {
            Rise::Between(Bracket {
                low,
                f_low,
                high,
                f_high,
            })
        })
    }

    /// The air flux at the peak of the curve; [`Onset::WithoutAir`] where water flows without air and any air slows it.
    pub fn peak(&self) -> Result<Onset, Error> {
        let path = RefCell::new(Path::default());
        // The highest flow yet, and the path as it was there.
        let most = RefCell::new((0.0, Path::default()));
        let solved = |x: f64| path.borrow_mut().next(self, x.exp());
        let flow = |x: f64| Ok(solved(x)?.map_or(0.0, |(j_l, _)| j_l));
        let about = |x: f64| {
            let mut path = path.borrow_mut();
            let found = path
                .roughly(self, x.exp(), ROUGH)?
                .map_or(0.0, |(j_l, _)| j_l);
            let mut most = most.borrow_mut();
            if found > most.0 {
                *most = (found, path.clone());
            }
            Ok(found)
        };
        let slow = (GRAVITY_M_PER_S2 * self.d_m).sqrt();
        let [least, middle] = [LEAST, MIDDLE].map(|share| self.flux_of(share * slow).ln());
        let last = self.largest_flux().ln();
        let free = self.excess(AT_REST, 0.0, &mut Foot::default())? >= 0.0;
        let from_middle = if free { 0.0 } else { about(middle)? };
        let mut found;
        let mut low;
        if from_middle > 0.0 {
            let start = (middle, from_middle);
            let path_there = path.borrow().clone();
            found = Highest::at(start);
            found.climb(start, last, SCAN, about)?;
            path.replace(path_there);
            found.climb(start, least, -SCAN, about)?;
            low = found.x - SCAN;
        } else {
            let [still, rise] = match self.rise(AT_REST, &mut Foot::default())? {
                Rise::WithoutAir => [0.0; 2],
                Rise::From(flux) => [flux; 2],
                Rise::Between(Bracket { low, high, .. }) => [low, high],
                Rise::Never { nearest } => return Ok(Onset::Never { nearest }),
            };
            let first = rise.ln().max(least);
            let start = (first, about(first)?);
            found = Highest::at(start);
            found.climb(start, last, SCAN, about)?;
            low = found.x - SCAN;
            // A window of air flows narrower than a step starts at its first flux.
            if rise > 0.0 && found.x <= first {
                low = low.max(still.ln());
            }
        }
        path.replace(most.take().1);
        let slope = |x: f64| {
            // At the peak more air carries the same water no higher.
            let Some((j_l, _)) = solved(x)? else {
                return Ok(if x <= found.x + 1e-8 { 1.0 } else { -1.0 });
            };
            let mut foot = Foot::default();
            Ok((self.excess(j_l, (x + STEP).exp(), &mut foot)?
                - self.excess(j_l, (x - STEP).exp(), &mut foot)?)
                / STEP)
        };
        let place = found.top(SCAN);
        let within = [low, found.x + SCAN];
        let x = match top(place, within, flow)? {
            Some(x) => x,
            None => stationary(Solve::Peak, within, (place, TOP * SCAN), slope, flow)?,
        };
        if free && self.water_velocity(0.0)?.map_or(0.0, |(j_l, _)| j_l) >= flow(x)? {
            return Ok(Onset::WithoutAir);
        }
        Ok(Onset::At(x.exp()))
    }

    /// Air flux of the largest `merit` from the threshold on; `merit` reads an operating state.
    pub fn best(
        &self,
        threshold: f64,
        merit: impl Fn(f64, f64, &Carried) -> f64,
    ) -> Result<Option<f64>, Error> {
        let path = RefCell::new(Path::default());
        let value = |x: f64| {
            let flux = x.exp();
            let solved = path.borrow_mut().next(self, flux)?;
            Ok(solved.map_or(0.0, |(j_l, carried)| merit(flux, j_l, &carried)))
        };
        let (low, high) = (threshold.ln(), self.largest_flux().ln());
        // Where friction passes from laminar to turbulent there may be two maxima side by side.
        let about = |x: f64, left: f64| {
            let flux = x.exp();
            let solved = path.borrow_mut().roughly(self, flux, left)?;
            Ok(solved.map_or(0.0, |(j_l, carried)| merit(flux, j_l, &carried)))
        };
        let coarse = Self::scan(low, high, SCAN, |x| about(x, ROUGH))?;
        let around = |x: f64, step: f64| [(x - step).max(low), (x + step).min(high)];
        let within = around(coarse.x, SCAN);
        if self.is_turbulent(within[0].exp())
            && let Some(x) = top(coarse.top(SCAN), within, value)?
        {
            return Ok(Some(x.exp()));
        }
        let fine = Self::scan(within[0], within[1], FINE, |x| about(x, LESS_ROUGH))?;
        let within = around(fine.x, FINE);
        if let Some(x) = top(fine.top(FINE), within, value)? {
            return Ok(Some(x.exp()));
        }
        let wide = 10.0 * STEP;
        // Of the logarithm: near the threshold the merit itself may be flat.
        let slope = |x: f64| {
            let (before, after) = (value(x - wide)?, value(x + wide)?);
            Ok(if before + after > 0.0 {
                (after - before) / (wide * (after + before))
            } else {
                1.0
            })
        };
        let x = stationary(
            Solve::BestEfficiency,
            within,
            (fine.top(FINE), TOP * FINE),
            slope,
            value,
        )?;
        Ok(if value(x)? > 0.0 { Some(x.exp()) } else { None })
    }

    /// The largest of a value on steps from `low` to `high`, up to where it has fallen well below
    /// that.
    fn scan(
        low: f64,
        high: f64,
        step: f64,
        value: impl Fn(f64) -> Result<f64, Error>,
    ) -> Result<Highest, Error> {
        let start = (low, value(low)?);
        let mut best = Highest::at(start);
        best.climb(start, high, step, value)?;
        Ok(best)
    }

    /// Whether water at rest stands as a column at an air flux: see [`STILL_VOID`].
    pub fn stands_still(&self, flux: f64) -> bool {
        self.section(AT_REST, flux, self.p_a).alpha < STILL_VOID
    }

    /// Lift that the column reaches at an air flux while no water flows, m.
    pub fn still_lift(&self, flux: f64) -> Result<f64, Error> {
        let excess =
            |lift_m: f64| Self { lift_m, ..*self }.excess(AT_REST, flux, &mut Foot::default());
        let low = -0.999 * self.submergence_m;
        let f_low = excess(low)?;
        if f_low <= 0.0 {
            return Ok(low);
        }
        let mut high = self.submergence_m;
        let mut f_high = excess(high)?;
        while f_high > 0.0 {
            high *= 2.0;
            f_high = excess(high)?;
            if high > 1e9 {
                break;
            }
        }
        let tolerance = Tolerance {
            relative: 1e-10,
            absolute: 1e-10,
            residual: 1e-6 * self.rho_l * GRAVITY_M_PER_S2 * high,
            rounding: self.rounding_pa(),
        };
        let bracket = Bracket {
            low,
            f_low,
            high,
            f_high,
        };
        let found = fallible(excess, |excess| {
            bracketed(Solve::Lift, bracket, tolerance, excess)
        });
        match found {
            // The foot of a long column may hold no more air, and then nothing is carried. Below the jump the lift is reached.
            Err(Error::NotConverged {
                what: Solve::Lift,
                low,
                high,
                ..
            }) if high - low < JUMP * self.submergence_m => Ok(low),
            found => found,
        }
    }

    /// Submergence at which an air flux first carries a water velocity, within a range; none when
    /// no submergence of the range does.
    pub fn submergence(
        &self,
        j_l: f64,
        flux: f64,
        shallowest: f64,
        deepest: f64,
    ) -> Result<Option<f64>, Error> {
        let excess = |submergence_m: f64| {
            Self {
                submergence_m,
                ..*self
            }
            .excess(j_l, flux, &mut Foot::default())
        };
        if shallowest > deepest {
            return Ok(None);
        }
        let (mut low, mut f_low) = (shallowest, excess(shallowest)?);
        if f_low >= 0.0 {
            return Ok(Some(shallowest));
        }
        let root = |low: f64, f_low: f64, high: f64, f_high: f64| {
            let tolerance = Tolerance {
                relative: 1e-9,
                absolute: 1e-12,
                residual: 1e-6 * self.rho_l * GRAVITY_M_PER_S2 * high,
                rounding: self.rounding_pa(),
            };
            let bracket = Bracket {
                low,
                f_low,
                high,
                f_high,
            };
            fallible(excess, |excess| {
                bracketed(Solve::Submergence, bracket, tolerance, excess)
            })
            .map(Some)
        };
        let (mut best, mut f_best) = (low, f_low);
        while low < deepest {
            let high = (DEEPER * low).min(deepest);
            let f_high = excess(high)?;
            if f_high >= 0.0 {
                return root(low, f_low, high, f_high);
            }
            if f_high > f_best {
                (best, f_best) = (high, f_high);
            }
            (low, f_low) = (high, f_high);
        }
        // In a deep well more depth may cost more than it gives: the maximum may pass zero between.
        let low = (best / DEEPER).max(shallowest);
        let (high, f_high) = highest(low, (best * DEEPER).min(deepest), 0.0, excess)?;
        if f_high > 0.0 {
            return root(low, excess(low)?, high, f_high);
        }
        Ok(None)
    }
}

/// Where a smooth curve has its maximum, between two points, by the polynomial through three places around about there and
/// those where that was highest before; none where these do not settle.
fn top(
    place: f64,
    [low, high]: [f64; 2],
    value: impl Fn(f64) -> Result<f64, Error>,
) -> Result<Option<f64>, Error> {
    let mut polynomial = Newton::of(PATH_LENGTH);
    for aside in [-AROUND, AROUND, 0.0] {
        let x = place + aside;
        polynomial.keep(x, [value(x)?.ln()]);
    }
    let mut x = polynomial.top(place);
    for _ in 0..TOP_TRIES {
        if !(x > low && x < high) {
            break;
        }
        polynomial.keep(x, [value(x)?.ln()]);
        let next = polynomial.top(x);
        if (next - x).abs() <= TOP_SETTLED {
            return Ok(Some(next));
        }
        x = next;
    }
    Ok(None)
}

/// Where a curve with one maximum between two points has it: where its slope passes zero, or, when
/// the slope does not tell, by golden section. A place near it, and about how near, may narrow the search.
fn stationary(
    what: Solve,
    [low, high]: [f64; 2],
    near: (f64, f64),
    slope: impl Fn(f64) -> Result<f64, Error>,
    value: impl Fn(f64) -> Result<f64, Error>,
) -> Result<f64, Error> {
    let bracket = match narrowed([low, high], near, &slope)? {
        Some(bracket) => bracket,
        None => Bracket {
            low,
            f_low: slope(low)?,
            high,
            f_high: slope(high)?,
        },
    };
    if !(bracket.f_low > 0.0 && bracket.f_high < 0.0) {
        return Ok(highest(low, high, f64::INFINITY, value)?.0);
    }
    let tolerance = Tolerance {
        relative: 0.0,
        absolute: 1e-6,
        residual: f64::INFINITY,
        rounding: 0.0,
    };
    fallible(slope, |slope| bracketed(what, bracket, tolerance, slope))
}

/// A place and one beside it between which a slope passes zero, within two points; none where it does not.
fn narrowed(
    [low, high]: [f64; 2],
    (place, aside): (f64, f64),
    slope: &impl Fn(f64) -> Result<f64, Error>,
) -> Result<Option<Bracket>, Error> {
    if !(place - aside > low && place + aside < high) {
        return Ok(None);
    }
    let f_place = slope(place)?;
    let other = if f_place > 0.0 {
        place + aside
    } else {
        place - aside
    };
    let f_other = slope(other)?;
    let (here, there) = ((place, f_place), (other, f_other));
    let ((low, f_low), (high, f_high)) = if place < other {
        (here, there)
    } else {
        (there, here)
    };
    Ok((f_low > 0.0 && f_high < 0.0).then_some(Bracket {
        low,
        f_low,
        high,
        f_high,
    }))
}

/// Golden-section search for the largest value between two points; ends early once a value is above
/// `enough`.
fn highest(
    low: f64,
    high: f64,
    enough: f64,
    mut value: impl FnMut(f64) -> Result<f64, Error>,
) -> Result<(f64, f64), Error> {
    let (mut a, mut b) = (low, high);
    let mut at = |x: f64| value(x).map(|here| (x, here));
    let (mut c, mut d) = (at(b - GOLDEN * (b - a))?, at(a + GOLDEN * (b - a))?);
    for _ in 0..32 {
        if c.1 > enough || d.1 > enough {
            break;
        }
        if c.1 > d.1 {
            (b, d) = (d.0, c);
            c = at(b - GOLDEN * (b - a))?;
        } else {
            (a, c) = (c.0, d);
            d = at(a + GOLDEN * (b - a))?;
        }
    }
    Ok(if c.1 > d.1 { c } else { d })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 32 golden sections leave 0.618³² of a width of 4, 8e-7; a parabola is told from its top to 1e-8.
    #[test]
    fn the_highest_of_a_parabola() {
        for top in [-0.9, 0.7, 2.9] {
            let parabola = |x: f64| Ok(2.0 - (x - top).powi(2));
            let (x, value) = highest(-1.0, 3.0, f64::INFINITY, parabola).unwrap();
            assert!((x - top).abs() < 1e-6, "{x}, top {top}");
            assert_eq!(value, 2.0 - (x - top).powi(2));
        }
    }

    /// No point of a series of 400 is more than 1e-9 better than the best, wherever friction turns turbulent.
    #[test]
    fn no_point_is_better_than_the_best() {
        use super::super::agreement::{CLASSES, Draw, column};
        let mut draw = Draw(30);
        let mut turbulent = [0; 2];
        for n in 0..60 {
            let column = column(&CLASSES[n % 3], &mut draw);
            let Onset::At(threshold) = column.onset(AT_REST, Solve::Threshold, None).unwrap()
            else {
                continue;
            };
            let merit = |flux: f64, j_l: f64, carried: &Carried| {
                j_l / (flux * (carried.p0 / column.p_a).ln()).max(0.0)
            };
            let Some(best) = column.best(threshold, merit).unwrap() else {
                continue;
            };
            let at = |flux: f64| {
                let solved = column.water_velocity(flux).unwrap();
                solved.map_or(0.0, |(j_l, carried)| merit(flux, j_l, &carried))
            };
            let most = at(best);
            for k in 1..400 {
                let flux = threshold * (20.0 * best / threshold).powf(f64::from(k) / 400.0);
                assert!(at(flux) <= most * (1.0 + 1e-9), "{n}: {flux}, {best}");
            }
            turbulent[usize::from(column.is_turbulent((best.ln() - SCAN).exp()))] += 1;
        }
        assert!(turbulent.iter().all(|count| *count > 5), "{turbulent:?}");
    }

    /// The first two places are at 0.382 and 0.618 of the way; either may be high enough.
    #[test]
    fn a_value_high_enough_ends_the_search() {
        for top in [0.382, 0.618] {
            let mut tries = 0;
            let value = |x: f64| {
                tries += 1;
                Ok(-(x - top).abs())
            };
            let (x, value) = highest(0.0, 1.0, -0.01, value).unwrap();
            assert!((x - top).abs() < 1e-3 && value > -0.01, "{x}, top {top}");
            assert_eq!(tries, 2);
        }
    }
}
