//! Searches over the air flow, in plain SI: onset of a water velocity, peak, best efficiency.
//!
//! The height that the column carries beyond what it must is a function of water velocity and air
//! flux. At a fixed water velocity it first grows with the air (the column gets lighter) and then
//! falls (friction): where it passes zero for the first time is the efficient branch. Asking for the
//! air of a wanted flow this way needs no nested solve.

use super::column::{Carried, Column, Foot};
use crate::error::{Error, Solve};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::GRAVITY_M_PER_S2;

/// Ratio of neighbouring air flows of a scan.
const STRIDE: f64 = 2.0;
/// Gas velocity at the atmosphere at which a scan ends, m/s: beyond the choking of any column.
const FASTEST_GAS: f64 = 600.0;
/// Step of a central difference in the logarithm of the air flux.
const STEP: f64 = 1e-4;
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

impl Column {
    fn excess(&self, j_l: f64, flux: f64, neighbour: &mut Foot) -> f64 {
        let carried = self.carried(j_l, flux, neighbour);
        carried.excess_pa()
    }

    /// A flux whose gas velocity at the atmosphere is `velocity`.
    fn flux_of(&self, velocity: f64) -> f64 {
        velocity / self.gas_velocity(1.0, self.p_a)
    }

    /// The smallest air flux that carries a water velocity.
    pub fn onset(&self, j_l: f64, what: Solve) -> Result<Onset, Error> {
        let mut foot = Foot::default();
        if self.excess(j_l, 0.0, &mut foot) >= 0.0 {
            return Ok(Onset::WithoutAir);
        }
        let last = self.flux_of(FASTEST_GAS);
        let mut flux = self.flux_of(0.05 * (j_l + (GRAVITY_M_PER_S2 * self.d_m).sqrt()));
        let mut here = self.excess(j_l, flux, &mut foot);
        // Down to where nothing is carried yet, if the start is beyond that.
        while here > 0.0 {
            flux /= STRIDE * STRIDE;
            if flux < last * 1e-14 {
                return Ok(Onset::At(flux));
            }
            here = self.excess(j_l, flux, &mut foot);
        }
        let (mut low, mut f_low) = (flux, here);
        let (mut best, mut f_best) = (flux, here);
        let mut found = None;
        while flux < last {
            flux *= STRIDE;
            here = self.excess(j_l, flux, &mut foot);
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
            (low, f_low) = (best / STRIDE, self.excess(j_l, best / STRIDE, &mut foot));
            let (x, fx) = self.highest(j_l, best, &mut foot);
            if fx <= 0.0 || f_low > 0.0 {
                return Ok(Onset::Never { nearest: x });
            }
            found = Some((x, fx));
        }
        let Some((high, f_high)) = found else { return Ok(Onset::Never { nearest: best }) };
        let tolerance = Tolerance { relative: 0.0, absolute: 1e-9, residual: self.residual_pa(), rounding: self.rounding_pa() };
        let bracket = Bracket { low: low.ln(), f_low, high: high.ln(), f_high };
        let x = bracketed(what, bracket, tolerance, |x| self.excess(j_l, x.exp(), &mut foot))?;
        Ok(Onset::At(x.exp()))
    }

    /// Golden-section search for the flux of the largest excess near `best`; ends early once the
    /// excess is above zero.
    fn highest(&self, j_l: f64, best: f64, neighbour: &mut Foot) -> (f64, f64) {
        let (mut a, mut b) = ((best / STRIDE).ln(), (best * STRIDE).ln());
        let mut f = |x: f64| (x, self.excess(j_l, x.exp(), neighbour));
        let (mut c, mut d) = (f(b - GOLDEN * (b - a)), f(a + GOLDEN * (b - a)));
        for _ in 0..32 {
            if c.1 > 0.0 || d.1 > 0.0 {
                break;
            }
            if c.1 > d.1 {
                (b, d) = (d.0, c);
                c = f(b - GOLDEN * (b - a));
            } else {
                (a, c) = (c.0, d);
                d = f(a + GOLDEN * (b - a));
            }
        }
        let top = if c.1 > d.1 { c } else { d };
        (top.0.exp(), top.1)
    }

    /// Air flux and water velocity at the peak of the curve, from a flux that pumps.
    pub fn peak(&self, start: f64) -> Result<f64, Error> {
        let last = self.flux_of(FASTEST_GAS);
        let mut flux = start.max(self.flux_of(1e-3 * (GRAVITY_M_PER_S2 * self.d_m).sqrt()));
        let mut best = (0.0, flux);
        while flux < last {
            let j_l = self.water_velocity(flux)?.map_or(0.0, |(j_l, _)| j_l);
            if j_l > best.0 {
                best = (j_l, flux);
            } else if j_l < 0.8 * best.0 {
                break;
            }
            flux *= 1.6;
        }
        self.stationary(Solve::Peak, (best.1 / 1.6).max(start), best.1 * 1.6, |x| {
            // At the peak more air carries the same water no higher.
            let Some((j_l, _)) = self.water_velocity(x.exp())? else { return Ok(-1.0) };
            let mut foot = Foot::default();
            Ok((self.excess(j_l, (x + STEP).exp(), &mut foot) - self.excess(j_l, (x - STEP).exp(), &mut foot)) / STEP)
        })
        .map(|found| found.unwrap_or(best.1))
    }

    /// Air flux of the largest `merit` between two fluxes; `merit` reads an operating state.
    pub fn best(&self, low: f64, high: f64, merit: impl Fn(f64, f64, &Carried) -> f64) -> Result<Option<f64>, Error> {
        let value = |flux: f64| -> Result<f64, Error> {
            Ok(self.water_velocity(flux)?.map_or(0.0, |(j_l, carried)| merit(flux, j_l, &carried)))
        };
        let points = 16;
        let ratio = (high / low).powf(1.0 / f64::from(points));
        let mut best = (0.0, low);
        for n in 0..=points {
            let flux = low * ratio.powi(n);
            let here = value(flux)?;
            if here > best.0 {
                best = (here, flux);
            }
        }
        if best.0 <= 0.0 {
            return Ok(None);
        }
        let wide = 10.0 * STEP;
        let slope = |x: f64| Ok((value((x + wide).exp())? - value((x - wide).exp())?) / (wide * best.0));
        let found = self.stationary(Solve::BestEfficiency, best.1 / ratio, best.1 * ratio, slope)?;
        Ok(Some(found.unwrap_or(best.1)))
    }

    /// Where a slope passes from above to below zero between two fluxes; none when it does not.
    fn stationary(
        &self,
        what: Solve,
        low: f64,
        high: f64,
        slope: impl Fn(f64) -> Result<f64, Error>,
    ) -> Result<Option<f64>, Error> {
        let (low, high) = (low.ln(), high.ln());
        let (f_low, f_high) = (slope(low)?, slope(high)?);
        if !(f_low > 0.0 && f_high < 0.0) {
            return Ok(None);
        }
        let mut failure = None;
        let tolerance = Tolerance { relative: 0.0, absolute: 1e-6, residual: f64::INFINITY, rounding: 0.0 };
        let x = bracketed(what, Bracket { low, f_low, high, f_high }, tolerance, |x| {
            slope(x).unwrap_or_else(|error| {
                failure = Some(error);
                f64::NAN
            })
        });
        match failure {
            Some(error) => Err(error),
            None => x.map(|x| Some(x.exp())),
        }
    }

    /// Lift that the column reaches at an air flux while no water flows, m.
    pub fn still_lift(&self, flux: f64) -> Result<f64, Error> {
        let excess = |lift_m: f64| Self { lift_m, ..*self }.carried(0.0, flux, &mut Foot::default()).excess_pa();
        let low = -0.999 * self.submergence_m;
        let f_low = excess(low);
        if f_low <= 0.0 {
            return Ok(low);
        }
        let mut high = self.submergence_m;
        let mut f_high = excess(high);
        while f_high > 0.0 {
            high *= 2.0;
            f_high = excess(high);
            if high > 1e9 {
                break;
            }
        }
        let tolerance = Tolerance { relative: 1e-10, absolute: 1e-10, residual: 1e-6 * self.rho_l * GRAVITY_M_PER_S2 * high, rounding: self.rounding_pa() };
        bracketed(Solve::Lift, Bracket { low, f_low, high, f_high }, tolerance, excess)
    }

    /// Submergence at which an air flux first carries a water velocity, within a range; none when
    /// no submergence of the range does.
    pub fn submergence(&self, j_l: f64, flux: f64, shallowest: f64, deepest: f64) -> Result<Option<f64>, Error> {
        let excess = |submergence_m: f64| Self { submergence_m, ..*self }.carried(j_l, flux, &mut Foot::default()).excess_pa();
        let (mut low, mut f_low) = (shallowest, excess(shallowest));
        if f_low >= 0.0 {
            return Ok(Some(shallowest));
        }
        while low < deepest {
            let high = (1.25 * low).min(deepest);
            let f_high = excess(high);
            if f_high >= 0.0 {
                let tolerance = Tolerance { relative: 1e-9, absolute: 1e-12, residual: 1e-6 * self.rho_l * GRAVITY_M_PER_S2 * high, rounding: self.rounding_pa() };
                return bracketed(Solve::Submergence, Bracket { low, f_low, high, f_high }, tolerance, excess).map(Some);
            }
            (low, f_low) = (high, f_high);
        }
        Ok(None)
    }
}
