//! What feeds a header.

use super::blower::SiteCurve;
use super::header::Net;
use super::line::AirLine;
use crate::air::AirFlow;
use crate::error::Error;
use crate::units::{AbsolutePressure, Pressure, base};

/// Air beyond a blower's table, over its largest flow, that is rounding of the solver.
const ROUNDING: f64 = 1e-9;
/// How steeply the pressure falls past the end of a table, in rises over a whole table: only so that a
/// solution there is found and refused.
const CLIFF: f64 = 100.0;

/// Where the header's air comes from.
///
/// ```
/// use risewater::supply::Feed;
/// use risewater::units::{AbsolutePressure, kilopascal};
///
/// let regulated = Feed::Pressure(AbsolutePressure::new::<kilopascal>(120.0));
/// # let _ = regulated;
/// ```
#[derive(Debug, Clone, Copy)]
#[non_exhaustive]
pub enum Feed<'a> {
    /// A regulated pressure where the air enters the header.
    Pressure(AbsolutePressure),
    /// A fixed amount of air for branches and bleed together, whatever pressure that takes: a
    /// displacement blower, about.
    Air(AirFlow),
    /// A blower (or several in parallel: [`SiteCurve::in_parallel`]) behind its main line.
    Blower {
        /// Its curve at this site; the pressure of its intake is what its rise is counted from.
        curve: &'a SiteCurve,
        /// From the blower to the header.
        main: &'a AirLine,
    },
}

impl Feed<'_> {
    /// Air of every branch and pressure at the header.
    ///
    /// # Errors
    /// [`Error::BlowerTooWeak`] when a blower cannot push air into any branch, [`Error::BeyondBlower`]
    /// when the header would take more than its table holds, [`Error::BelowBlower`] when it would take less.
    pub(super) fn solve(&self, net: &Net) -> Result<(Vec<f64>, f64), Error> {
        match self {
            Self::Pressure(pressure) => {
                let pa = super::pressure_pa(*pressure)?;
                Ok((net.at_pressure(pa)?, pa))
            }
            Self::Air(air) => net.at_air(air.kg_per_s()),
            Self::Blower { curve, main } => {
                let duct = main.duct()?;
                let intake_pa = curve.intake().pressure.pascal();
                let (first, last) = curve.flows_kg_per_s();
                let (highest, lowest) = (curve.rise_pa(first), curve.rise_pa(last));
                let rise = |m: f64| {
                    if m < first {
                        highest
                    } else if m > last {
                        lowest - CLIFF * highest * (m - last) / last
                    } else {
                        curve.rise_pa(m)
                    }
                };
                // What is left of it at the header; nothing where the main cannot carry so much.
                let feed = |m: f64| {
                    let discharge = intake_pa + rise(m);
                    if discharge > 0.0 {
                        duct.outlet_pa(m, discharge).unwrap_or(0.0)
                    } else {
                        0.0
                    }
                };
                let needed = net.threshold_pa();
                if feed(0.0) <= needed {
                    return Err(Error::BlowerTooWeak {
                        needed: base(needed - intake_pa),
                        highest: base(highest),
                    });
                }
                let (flows, pressure) = net.at_feed(&feed)?;
                let air: f64 = flows.iter().sum();
                let at = |m: f64| AirFlow::from_kg_per_s(m);
                let needed: Pressure = base(duct.inlet_pa(last, pressure) - intake_pa);
                if air > last * (1.0 + ROUNDING) {
                    return Err(Error::BeyondBlower {
                        air: at(last),
                        rise: base(lowest),
                        needed,
                    });
                }
                if air < first * (1.0 - ROUNDING) {
                    return Err(Error::BelowBlower {
                        air: at(air),
                        first: at(first),
                    });
                }
                Ok((flows, pressure))
            }
        }
    }
}
