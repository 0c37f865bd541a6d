//! Searches over the air flow, in plain SI: onset of a water velocity, peak, best efficiency.
//!
//! The height that the column carries beyond what it must is a function of water velocity and air
//! flux. At a fixed water velocity it first grows with the air (the column gets lighter) and then
//! falls (friction): where it passes zero for the first time is the efficient branch. Asking for the
//! air of a wanted flow this way needs no nested solve.

use std::cell::RefCell;

use super::column::{AT_REST, Carried, Column};
use super::ends::Foot;
use super::velocity::Path;
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
/// Step of a central difference in the logarithm of the air flux.
const STEP: f64 = 1e-4;
/// Step of a scan for a maximum, in the logarithm of the air flux.
const SCAN: f64 = 0.47;
/// Step of a second scan around the best of the first.
const FINE: f64 = 0.06;
/// Void fraction that gas in water at rest stays below, 1/C₀ with C₀ = 1.2: it rises as slugs at
/// 1.2 j_g + 0.35 √(g D) ([Nicklin et al. 1962](crate::references::NICKLIN_1962)). A closure whose C₀
/// falls to 1 without liquid flow, as the default does, passes it on the way to 1, where a column has no
/// top; it says nothing of a level there.
pub(super) const STILL_VOID: f64 = 1.0 / 1.2;
/// Width in the logarithm of the air flux within which an excess that changes its sign and has no zero is a jump.
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

/// The best point of a scan.
struct Highest {
    x: f64,
    value: f64,
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

    /// The smallest air flux that carries a water velocity.
    pub fn onset(&self, j_l: f64, what: Solve) -> Result<Onset, Error> {
        let mut foot = Foot::default();
        if self.excess(j_l, 0.0, &mut foot)? >= 0.0 {
            return Ok(Onset::WithoutAir);
        }
        if j_l >= self.fastest_m_per_s() {
            return Ok(Onset::Never { nearest: 0.0 });
        }
        let last = self.largest_flux();
        let mut flux = self.flux_of(0.05 * (j_l + (GRAVITY_M_PER_S2 * self.d_m).sqrt()));
        let mut here = self.excess(j_l, flux, &mut foot)?;
        // Down to where nothing is carried yet, if the start is beyond that.
        while here > 0.0 {
            flux /= STRIDE * STRIDE;
            if flux < last * 1e-14 {
                return Ok(Onset::At(flux));
            }
            here = self.excess(j_l, flux, &mut foot)?;
        }
        let (mut low, mut f_low) = (flux, here);
        let (mut best, mut f_best) = (flux, here);
        let mut found = None;
        while flux < last {
            flux *= STRIDE;
            here = self.excess(j_l, flux, &mut foot)?;
            if here > 0.0 {
                found = Some((flux, here));
                break;
            }
            (low, f_low) = (flux, here);
            if here > f_best {
                (best, f_best) = (flux, here);
            }
        }
        if found.is_none() {
            // The maximum may pass zero between two fluxes of the scan.
            (low, f_low) = (best / STRIDE, self.excess(j_l, best / STRIDE, &mut foot)?);
            let excess = |x: f64| self.excess(j_l, x.exp(), &mut foot);
            let (x, fx) = highest((best / STRIDE).ln(), (best * STRIDE).ln(), 0.0, excess)?;
            if fx <= 0.0 || f_low > 0.0 {
                return Ok(Onset::Never { nearest: x.exp() });
            }
            found = Some((x.exp(), fx));
        }
        let Some((high, f_high)) = found else {
            return Ok(Onset::Never { nearest: best });
        };
        let tolerance = Tolerance {
            relative: 0.0,
            absolute: 1e-9,
            residual: self.residual_pa(),
            rounding: self.rounding_pa(),
        };
        let bracket = Bracket {
            low: low.ln(),
            f_low,
            high: high.ln(),
            f_high,
        };
        let excess = |x: f64| self.excess(j_l, x.exp(), &mut foot);
        let x = match fallible(excess, |excess| bracketed(what, bracket, tolerance, excess)) {
            // The excess may jump past zero as the air grows; seen with a developing length of 24 m. Water at rest is
            // carried from behind the jump on.
            Err(Error::NotConverged {
                what: Solve::Threshold,
                low,
                high,
                ..
            }) if high - low < JUMP => high,
            found => found?,
        };
        Ok(Onset::At(x.exp()))
    }

    /// Air flux at the peak of the curve, from the flux at which water starts to flow; zero when it
    /// flows without air and any air only slows it.
    pub fn peak(&self, start: f64) -> Result<f64, Error> {
        let path = RefCell::new(Path::default());
        let solved = |x: f64| path.borrow_mut().next(self, x.exp());
        let flow = |x: f64| Ok(solved(x)?.map_or(0.0, |(j_l, _)| j_l));
        let first = start
            .max(self.flux_of(1e-3 * (GRAVITY_M_PER_S2 * self.d_m).sqrt()))
            .ln();
        let found = Self::scan(first, self.largest_flux().ln(), SCAN, flow)?;
        // A window of air flows narrower than the scan's stride starts at its first flux.
        let low = if start > 0.0 {
            (found.x - SCAN).max(first)
        } else {
            found.x - SCAN
        };
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
        let x = stationary(Solve::Peak, low, found.x + SCAN, slope, flow)?;
        if start == 0.0 && self.water_velocity(0.0)?.map_or(0.0, |(j_l, _)| j_l) >= flow(x)? {
            return Ok(0.0);
        }
        Ok(x.exp())
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
        let coarse = Self::scan(low, high, SCAN, value)?.x;
        let fine = Self::scan(
            (coarse - SCAN).max(low),
            (coarse + SCAN).min(high),
            FINE,
            value,
        )?
        .x;
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
            (fine - FINE).max(low),
            (fine + FINE).min(high),
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
        let mut x = low;
        let mut best = Highest { x, value: 0.0 };
        while x < high {
            let here = value(x)?;
            if here > best.value {
                best = Highest { x, value: here };
            } else if here < 0.8 * best.value {
                break;
            }
            x += step;
        }
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
        fallible(excess, |excess| {
            bracketed(Solve::Lift, bracket, tolerance, excess)
        })
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

/// Where a curve with one maximum between two points has it: where its slope passes zero, or, when
/// the slope does not tell, by golden section.
fn stationary(
    what: Solve,
    low: f64,
    high: f64,
    slope: impl Fn(f64) -> Result<f64, Error>,
    value: impl Fn(f64) -> Result<f64, Error>,
) -> Result<f64, Error> {
    let (f_low, f_high) = (slope(low)?, slope(high)?);
    if !(f_low > 0.0 && f_high < 0.0) {
        return Ok(highest(low, high, f64::INFINITY, value)?.0);
    }
    let tolerance = Tolerance {
        relative: 0.0,
        absolute: 1e-6,
        residual: f64::INFINITY,
        rounding: 0.0,
    };
    let bracket = Bracket {
        low,
        f_low,
        high,
        f_high,
    };
    fallible(slope, |slope| bracketed(what, bracket, tolerance, slope))
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
