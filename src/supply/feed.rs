//! What feeds a header.

use super::blower::SiteCurve;
use super::line::{AirLine, Duct};
use super::net::Net;
use super::orifice::{Orifice, Throat};
use crate::air::AirFlow;
use crate::error::{Error, Solve};
use crate::solve::{Bracket, Tolerance, bracketed};
use crate::units::{AbsolutePressure, ThermodynamicTemperature, base};

/// Air beyond a blower's table, over its largest flow, that is rounding of the solver.
const ROUNDING: f64 = 1e-9;
/// How steeply the pressure falls past the end of a table, in rises over a whole table: only so that a
/// solution there is found and refused.
const CLIFF: f64 = 100.0;

/// Where the header's air comes from.
///
/// ```
/// use risewater::supply::AirFeed;
/// use risewater::units::{AbsolutePressure, kilopascal};
///
/// let regulated = AirFeed::Pressure(AbsolutePressure::new::<kilopascal>(120.0));
/// # let _ = regulated;
/// ```
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum AirFeed<'a> {
    /// A regulated pressure where the air enters the header.
    Pressure(AbsolutePressure),
    /// A fixed amount of air, whatever pressure that takes: a
    /// displacement blower, about.
    Air(AirFlow),
    /// A blower (or several in parallel: [`SiteCurve::in_parallel`]) behind its main line.
    Blower {
        /// Its curve at this site; the pressure of its intake is what its rise is counted from.
        curve: &'a SiteCurve,
        /// From the blower to the header.
        main: &'a AirLine,
        /// A vent at the blower, if there is one.
        bleed: Option<Bleed>,
    },
}

/// A hole at the blower's discharge that lets out what the lifts are not to have.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bleed {
    /// The hole.
    pub orifice: Orifice,
    /// Temperature of the air before it.
    pub temperature: ThermodynamicTemperature,
    /// Pressure behind it.
    pub outside: AbsolutePressure,
}

/// What becomes of a solution past an end of a blower's table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ends {
    /// It is refused.
    Refused,
    /// It is kept: before the first point with the rise of that point, after the last with hardly more air than
    /// that point has. A blower that opens no branch stands at its highest rise.
    Kept,
}

impl AirFeed<'_> {
    /// Air of every branch and pressure at the header.
    ///
    /// # Errors
    /// [`Error::BlowerTooWeak`] when a blower cannot push air into any branch, [`Error::BeyondBlower`]
    /// when the header would take more than its table holds, [`Error::BelowBlower`] when it would take less; none
    /// of these where the ends of the table are kept.
    pub(super) fn solve(&self, net: &Net, ends: Ends) -> Result<(Vec<f64>, f64), Error> {
        match self {
            Self::Pressure(pressure) => {
                let pa = super::pressure_pa(*pressure)?;
                Ok((net.at_pressure(pa)?, pa))
            }
            Self::Air(air) => net.at_air(air.kg_per_s()),
            Self::Blower { curve, main, bleed } => {
                let source = Source::of(curve, main, bleed.as_ref())?;
                source.solve(net, ends)
            }
        }
    }
}

/// A blower, its vent and its main line in plain SI.
struct Source<'a> {
    curve: &'a SiteCurve,
    main: Duct,
    vent: Option<(Throat, f64)>,
    intake_pa: f64,
    first: f64,
    last: f64,
    highest: f64,
    lowest: f64,
}

impl<'a> Source<'a> {
    fn of(curve: &'a SiteCurve, main: &AirLine, bleed: Option<&Bleed>) -> Result<Self, Error> {
        let (first, last) = curve.flows_kg_per_s();
        let vent = bleed.map(|bleed| {
            let throat = bleed.orifice.throat(bleed.temperature)?;
            Ok::<_, Error>((throat, super::pressure_pa(bleed.outside)?))
        });
        Ok(Self {
            curve,
            main: main.duct()?,
            vent: vent.transpose()?,
            intake_pa: curve.intake().pressure.pascal(),
            first,
            last,
            highest: curve.rise_pa(first),
            lowest: curve.rise_pa(last),
        })
    }

    fn solve(&self, net: &Net, ends: Ends) -> Result<(Vec<f64>, f64), Error> {
        let needed = net.threshold_pa();
        let highest_pa = self.header_pa(0.0);
        if highest_pa <= needed && ends == Ends::Kept {
            return Ok((net.at_pressure(highest_pa)?, highest_pa));
        }
        if highest_pa <= needed {
            return Err(Error::BlowerTooWeak {
                needed: base(needed - self.intake_pa),
                highest: base(self.rise_pa(self.blown(0.0))),
            });
        }
        let (flows, pressure) = net.at_feed(&|m| self.header_pa(m))?;
        if ends == Ends::Kept {
            return Ok((flows, pressure));
        }
        let air = self.blown(flows.iter().sum());
        let at = |m: f64| AirFlow::from_kg_per_s(m).volume_rate_at_20_c();
        if air > self.last * (1.0 + ROUNDING) {
            return Err(Error::BeyondBlower {
                air: at(self.last),
                rise: base(self.lowest),
                needed: base(self.main.inlet_pa(self.last, pressure) - self.intake_pa),
            });
        }
        if air < self.first * (1.0 - ROUNDING) {
            return Err(Error::BelowBlower {
                air: at(air),
                first: at(self.first),
            });
        }
        Ok((flows, pressure))
    }

    /// Pressure rise of the blower; past its table it falls off a cliff, where no solution is accepted.
    fn rise_pa(&self, kg_per_s: f64) -> f64 {
        if kg_per_s < self.first {
            self.highest
        } else if kg_per_s > self.last {
            self.lowest - CLIFF * self.highest * (kg_per_s - self.last) / self.last
        } else {
            self.curve.rise_pa(kg_per_s)
        }
    }

    /// What is left of it at the header; nothing where the main line cannot carry so much.
    fn header_pa(&self, kg_per_s: f64) -> f64 {
        let discharge = self.intake_pa + self.rise_pa(self.blown(kg_per_s));
        if discharge > 0.0 {
            self.main.outlet_pa(kg_per_s, discharge).unwrap_or(0.0)
        } else {
            0.0
        }
    }

    /// Air of the blower when the header takes some and the vent its own.
    fn blown(&self, kg_per_s: f64) -> f64 {
        let Some((throat, outside)) = &self.vent else {
            return kg_per_s;
        };
        let vented = |m: f64| throat.kg_per_s(self.intake_pa + self.rise_pa(m), *outside);
        let excess = |m: f64| m - vented(m) - kg_per_s;
        let high = kg_per_s + throat.kg_per_s(self.intake_pa + self.highest, *outside);
        let bracket = Bracket {
            low: kg_per_s,
            f_low: excess(kg_per_s),
            high,
            f_high: excess(high),
        };
        let tight = Tolerance {
            relative: 1e-14,
            absolute: 1e-18,
            residual: 1e-9 * high,
            rounding: 1e-16 * high,
        };
        // The vented air falls and the line m rises, so there is one crossing, and the bracket holds it.
        bracketed(Solve::BlowerFlow, bracket, tight, excess).unwrap_or(f64::NAN)
    }
}
