//! With what to catch the water and the air of a trial: what is at hand where it does, else something common.

use super::bench::Bench;
use super::plan::{FEWEST_REPEATS, MOST_REPEATS, SHORT_FILL_S};
use crate::air::AirFlow;
use crate::error::Error;
use crate::units::{
    Time, UnitSystem, Volume, VolumeRate, base, cubic_meter_per_second, liter_per_minute, second,
};

/// Vessels for water, L: jugs, buckets, tubs, drums and a tank on a pallet as they are sold; common practice.
pub const COMMON_VESSELS_L: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 20.0, 60.0, 120.0, 200.0, 1000.0];
/// The same in US gallons: from a quart to a tank on a pallet; common practice.
pub const COMMON_VESSELS_GAL: [f64; 9] = [0.25, 0.5, 1.0, 2.0, 5.0, 20.0, 32.0, 55.0, 275.0];
/// Bottles and canisters for air, L: common practice.
pub const COMMON_BOTTLES_L: [f64; 5] = [1.0, 2.0, 5.0, 10.0, 20.0];
/// The same in US gallons: from a quart to a carboy; common practice.
pub const COMMON_BOTTLES_GAL: [f64; 5] = [0.25, 0.5, 1.0, 3.0, 5.0];
/// Full scales of meters for air, L/min: common practice.
pub const COMMON_METERS_L_PER_MIN: [f64; 11] = [
    5.0, 10.0, 25.0, 50.0, 100.0, 250.0, 500.0, 1000.0, 2500.0, 5000.0, 10_000.0,
];
/// Part of its full scale from which a meter can be read: common practice.
pub const LOWEST_ON_SCALE: f64 = 0.1;
/// Fills longer than this waste a morning, s: our own choice.
const LONG_FILL_S: f64 = 300.0;
/// Repeats that a common vessel may need, tried in this order: our own choice.
const REPEATS: [usize; 4] = [FEWEST_REPEATS, 5, 10, MOST_REPEATS];

/// With what the air of a run is measured.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum AirGauge {
    /// An inverted bottle over water.
    Bottle(Volume),
    /// A meter with this full scale.
    Meter(VolumeRate),
}

impl AirGauge {
    /// The bottle, where it is one.
    #[must_use]
    pub fn bottle(self) -> Option<Volume> {
        match self {
            Self::Bottle(volume) => Some(volume),
            Self::Meter(_) => None,
        }
    }

    /// The full scale of the meter, where it is one.
    #[must_use]
    pub fn full_scale(self) -> Option<VolumeRate> {
        match self {
            Self::Bottle(_) => None,
            Self::Meter(full_scale) => Some(full_scale),
        }
    }
}

/// The smallest vessel in common use that a flow does not fill too soon to be timed by hand; none where nothing flows, or
/// too much for all of them.
///
/// ```
/// use risewater::trial::common_vessel;
/// use risewater::units::{UnitSystem, VolumeRate, liter, liter_per_minute};
///
/// // A bucket of 20 L fills in 16 s, one of 10 L in 8 s.
/// let flow = VolumeRate::new::<liter_per_minute>(75.0);
/// let bucket = common_vessel(flow, UnitSystem::Metric).expect("a bucket does");
/// assert!((bucket.get::<liter>() - 20.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn common_vessel(flow: VolumeRate, units: UnitSystem) -> Option<Volume> {
    let flows = flow.get::<cubic_meter_per_second>() > 0.0;
    common_vessels(units)
        .into_iter()
        .find(|vessel: &Volume| flows && (*vessel / flow).get::<second>() >= SHORT_FILL_S)
}

/// Those of the litre or those of the gallon.
fn common<const N: usize>(units: UnitSystem, metric: [f64; N], us: [f64; N]) -> [Volume; N] {
    let sizes = units.pick(metric, us);
    sizes.map(|size| base(size * units.vessel_unit().0))
}

/// From the smallest.
fn common_vessels(units: UnitSystem) -> [Volume; 9] {
    common(units, COMMON_VESSELS_L, COMMON_VESSELS_GAL)
}

fn in_time(time: Time) -> bool {
    (SHORT_FILL_S..=LONG_FILL_S).contains(&time.get::<second>())
}

impl Bench {
    /// A vessel for each water flow; none where none flows. One for all of them where one does.
    pub(super) fn vessels(&self, flows: &[VolumeRate]) -> Vec<Option<Volume>> {
        let flowing = |flow: &VolumeRate| flow.get::<cubic_meter_per_second>() > 0.0;
        let repeats = |volume: Volume, flow: VolumeRate| self.effort(volume, flow).repeats;
        let given = self.container.filter(|volume| {
            let long = |flow: &VolumeRate| (*volume / *flow).get::<second>() >= SHORT_FILL_S;
            let mut all = flows.iter().filter(|flow| flowing(flow));
            all.all(|flow| long(flow) && repeats(*volume, *flow).is_some())
        });
        let common = |flows: &[VolumeRate]| {
            let fits = |volume: &Volume, most: usize| {
                let mut all = flows.iter().filter(|flow| flowing(flow));
                all.all(|flow| {
                    in_time(*volume / *flow) && repeats(*volume, *flow).is_some_and(|n| n <= most)
                })
            };
            let vessels = || common_vessels(self.units).into_iter();
            let mut tried = REPEATS.iter();
            tried.find_map(|most| vessels().find(|volume| fits(volume, *most)))
        };
        let one = given.or_else(|| common(flows));
        // What does for none is shown all the same, with its flag.
        let last = self.container.unwrap_or_else(|| {
            let [.., largest] = common_vessels(self.units);
            largest
        });
        let own = |flow: &VolumeRate| {
            let own = one.or_else(|| common(std::slice::from_ref(flow)));
            flowing(flow).then(|| own.unwrap_or(last))
        };
        flows.iter().map(own).collect()
    }

    /// What to measure each air flow with; none where there is none. One thing for all of them where one does.
    pub(super) fn gauges(&self, flows: &[AirFlow]) -> Result<Vec<Option<AirGauge>>, Error> {
        let times = |bottle: Volume| -> Result<Vec<Time>, Error> {
            let times = flows.iter().map(|air| self.bottle_time(bottle, *air));
            Ok(times
                .collect::<Result<Vec<_>, _>>()?
                .into_iter()
                .flatten()
                .collect())
        };
        let mut one = None;
        if let Some(bottle) = self.bottle
            && times(bottle)?
                .iter()
                .all(|time| time.get::<second>() >= SHORT_FILL_S)
        {
            one = Some(AirGauge::Bottle(bottle));
        }
        for bottle in common(self.units, COMMON_BOTTLES_L, COMMON_BOTTLES_GAL) {
            if one.is_some() {
                break;
            }
            let mut fits = true;
            for time in times(bottle)? {
                fits &= in_time(time) && self.air_expected(bottle, time)? <= self.wanted;
            }
            if fits {
                one = Some(AirGauge::Bottle(bottle));
            }
        }
        let rates: Vec<f64> = flows
            .iter()
            .map(|air| air.volume_rate_at_20_c().get::<liter_per_minute>())
            .collect();
        let scale = |rates: &[f64], least: f64| {
            let fits = |full: &f64| {
                let mut all = rates.iter().filter(|rate| **rate > 0.0);
                all.all(|rate| (least * full..=*full).contains(rate))
            };
            COMMON_METERS_L_PER_MIN.into_iter().find(fits)
        };
        let shared = scale(&rates, LOWEST_ON_SCALE);
        let meter = |rate: f64| {
            let full = shared.or_else(|| scale(&[rate], 0.0)).unwrap_or(rate);
            AirGauge::Meter(VolumeRate::new::<liter_per_minute>(full))
        };
        let own = |rate: &f64| (*rate > 0.0).then(|| one.unwrap_or_else(|| meter(*rate)));
        Ok(rates.iter().map(own).collect())
    }
}
