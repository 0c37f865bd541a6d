//! How many lifts must run for a flow.

use crate::error::{Error, Input, NeedError, Range, range};
use crate::units::{VolumeRate, base, liter_per_minute};

range!(LIFT_FLOW, 0.001 to 1e6 "L/min", "Water flows of one lift.");
range!(LIFT_COUNT, 1 to 1e6 "lifts", "Numbers of lifts.");

/// Share of a flow that counts for nothing, so that three lifts of a third are enough.
const NEGLIGIBLE: f64 = 1e-9;

/// The lifts that can run. A lift's water flow is what it gives while as many others run.
#[derive(Debug, Clone, PartialEq)]
pub enum Installed {
    /// Lifts that are all alike.
    Alike {
        /// Water flow of one.
        flow: VolumeRate,
        /// How many there are; as many as it takes where none is given.
        count: Option<u32>,
    },
    /// The water flow of each, in the order in which they are started.
    Each(Vec<VolumeRate>),
}

/// The lifts that run for a flow.
#[derive(Debug, Clone, Copy, PartialEq)]
#[must_use]
pub struct RunningLifts {
    /// How many.
    pub lifts: usize,
    /// The water flow of them together.
    pub flow: VolumeRate,
    /// What is missing with all of them running; zero where they are enough.
    pub missing: VolumeRate,
}

impl Installed {
    /// The fewest lifts that give a flow, by the order in which they are started.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`LIFT_FLOW`] or [`LIFT_COUNT`], [`Error::NotFinite`];
    /// [`NeedError::NoLifts`].
    ///
    /// # Examples
    /// ```
    /// use risewater::need::Installed;
    /// use risewater::units::{VolumeRate, liter_per_minute};
    ///
    /// let liters = VolumeRate::new::<liter_per_minute>;
    /// let lifts = Installed::Each(vec![liters(100.0), liters(100.0), liters(60.0)]);
    /// assert_eq!(lifts.running(liters(150.0))?.lifts, 2);
    /// assert_eq!(format!("{:.0}", lifts.running(liters(300.0))?.missing.get::<liter_per_minute>()), "40");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn running(&self, need: VolumeRate) -> Result<RunningLifts, Error> {
        self.check()?;
        let wanted = need.get::<liter_per_minute>();
        if !wanted.is_finite() {
            let what = Input::WaterFlow;
            return Err(Error::NotFinite { what });
        }
        let enough = need * (1.0 - NEGLIGIBLE);
        let (lifts, flow) = match self {
            Self::Alike { flow, count } => {
                let one = flow.get::<liter_per_minute>();
                let most = count.map_or(LIFT_COUNT.max, f64::from);
                let lifts = (wanted * (1.0 - NEGLIGIBLE) / one).ceil().max(0.0);
                if count.is_none() {
                    Range::new(0.0, LIFT_COUNT.max, LIFT_COUNT.unit)
                        .check(Input::LiftCount, lifts)?;
                }
                let lifts = lifts.min(most);
                #[allow(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a count within LIFT_COUNT"
                )]
                let number = lifts as usize;
                (number, *flow * lifts)
            }
            Self::Each(flows) => {
                let (mut lifts, mut sum): (usize, VolumeRate) = (0, base(0.0));
                for flow in flows {
                    if sum >= enough {
                        break;
                    }
                    lifts += 1;
                    sum += *flow;
                }
                (lifts, sum)
            }
        };
        let missing = if flow >= enough {
            base(0.0)
        } else {
            need - flow
        };
        Ok(RunningLifts {
            lifts,
            flow,
            missing,
        })
    }

    /// The water flow of all of them together; none where there are as many as it takes.
    ///
    /// # Examples
    /// ```
    /// use risewater::need::Installed;
    /// use risewater::units::{VolumeRate, liter_per_minute};
    ///
    /// let flow = VolumeRate::new::<liter_per_minute>(100.0);
    /// let three = Installed::Alike { flow, count: Some(3) };
    /// assert_eq!(three.all(), Some(3.0 * flow));
    /// assert_eq!(Installed::Alike { flow, count: None }.all(), None);
    /// ```
    #[must_use]
    pub fn all(&self) -> Option<VolumeRate> {
        match self {
            Self::Alike { flow, count } => count.map(|count| *flow * f64::from(count)),
            Self::Each(flows) => Some(flows.iter().fold(base(0.0), |sum, flow| sum + *flow)),
        }
    }

    fn check(&self) -> Result<(), Error> {
        let one =
            |flow: &VolumeRate| LIFT_FLOW.check(Input::LiftFlow, flow.get::<liter_per_minute>());
        match self {
            Self::Alike { flow, count } => {
                one(flow)?;
                if let Some(count) = count {
                    LIFT_COUNT.check(Input::LiftCount, f64::from(*count))?;
                }
            }
            Self::Each(flows) => {
                if flows.is_empty() {
                    return Err(Error::Need(NeedError::NoLifts));
                }
                for flow in flows {
                    one(flow)?;
                }
            }
        }
        Ok(())
    }
}
