//! What feeds a header.

use super::header::Net;
use super::line::AirLine;
use crate::air::AirFlow;
use crate::error::Error;
use crate::units::AbsolutePressure;

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
    /// A fixed amount of air, whatever pressure that takes.
    Air(AirFlow),
    /// A blower behind its main line.
    Blower(BlowerFeed<'a>),
}

/// A blower behind its main line. Placeholder fields follow the blower module.
#[derive(Debug, Clone, Copy)]
pub struct BlowerFeed<'a> {
    /// From the blower to the header.
    pub main: &'a AirLine,
}

impl Feed<'_> {
    /// Air of every branch and pressure at the header.
    pub(super) fn solve(&self, net: &Net) -> Result<(Vec<f64>, f64), Error> {
        match self {
            Self::Pressure(pressure) => {
                let pa = super::pressure_pa(*pressure)?;
                Ok((net.at_pressure(pa)?, pa))
            }
            Self::Air(_) | Self::Blower(_) => todo!(),
        }
    }
}
