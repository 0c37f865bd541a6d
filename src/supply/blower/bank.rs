//! Several equal blowers on one header, some running and some standing by.

use super::site::SiteCurve;
use crate::error::Error;

/// Equal blowers on one header.
///
/// A blower that stands needs a check valve, or the others blow back through it.
///
/// # Examples
/// ```
/// # use risewater::air::AirState;
/// # use risewater::supply::blower::{Blower, Machine, RatedPoint, Rating};
/// # use risewater::units::{Pressure, VolumeRate, cubic_meter_per_hour, kilopascal};
/// # let point = |kpa, m3_h| RatedPoint {
/// #     pressure_rise: Pressure::new::<kilopascal>(kpa),
/// #     inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(m3_h),
/// #     power: None,
/// # };
/// # let blower = Blower::new(Rating {
/// #     points: vec![point(22.0, 0.0), point(0.0, 150.0)],
/// #     conditions: AirState::DRY_20_C,
/// #     machine: Machine::Dynamic,
/// #     power_kind: None,
/// # })?;
/// use risewater::supply::blower::Bank;
///
/// let site = AirState::DRY_20_C;
/// let bank = Bank { curve: blower.at(&site)?, running: 2, standby: 0 };
/// let rise = Pressure::new::<kilopascal>(11.0);
/// let air = |curve: risewater::supply::blower::SiteCurve| {
///     let flow = curve.air_flow(rise)?.volume_rate_at(&site)?;
///     Ok::<_, risewater::Error>(format!("{:.1}", flow.get::<cubic_meter_per_hour>()))
/// };
/// // A straight line from 22 kPa to 150 m³/h: each gives 75 m³/h at 11 kPa.
/// assert_eq!(air(bank.together()?)?, "150.0");
/// let left = bank.after_failure()?.expect("one of two still runs");
/// assert_eq!(air(left)?, "75.0");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Bank {
    /// One blower, as it runs.
    pub curve: SiteCurve,
    /// Blowers running at once.
    pub running: u32,
    /// Blowers standing by.
    pub standby: u32,
}

impl Bank {
    /// All running blowers together.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] when their number is outside [`BLOWERS`](super::BLOWERS).
    pub fn together(&self) -> Result<SiteCurve, Error> {
        self.curve.in_parallel(self.running)
    }

    /// What still blows when one running blower stops and none has taken its place yet; nothing if it
    /// was the only one.
    ///
    /// # Errors
    /// As [`Bank::together`].
    pub fn after_failure(&self) -> Result<Option<SiteCurve>, Error> {
        self.together()?;
        self.some(self.running - 1)
    }

    /// What blows once a standby has taken the place of one that stopped; without a standby the same
    /// as [`Bank::after_failure`].
    ///
    /// # Errors
    /// As [`Bank::together`].
    pub fn with_standby(&self) -> Result<Option<SiteCurve>, Error> {
        self.together()?;
        self.some(self.running - 1 + self.standby.min(1))
    }

    fn some(&self, running: u32) -> Result<Option<SiteCurve>, Error> {
        if running == 0 {
            return Ok(None);
        }
        self.curve.in_parallel(running).map(Some)
    }
}
