//! How fast air may go in a pipe.

use crate::error::Range;
use crate::units::{Length, Velocity, inch, meter_per_second};

/// Usual velocities in the headers of aeration plants by nominal pipe size, the largest size in inches first:
/// handbook values in feet a minute (from memory), in m/s.
const USUAL: [(f64, Range); 4] = [
    (3.5, Range::new(6.1, 9.1, "m/s")),
    (11.0, Range::new(9.1, 15.2, "m/s")),
    (27.0, Range::new(13.7, 20.3, "m/s")),
    (f64::INFINITY, Range::new(19.3, 33.0, "m/s")),
];

/// The usual velocities of air in a header of some bore: 1200 to 1800 ft/min up to 3 in, 1800 to 3000 up to
/// 10 in, 2700 to 4000 up to 24 in, 3800 to 6500 above.
///
/// Faster air is louder and costs pressure; slower air costs pipe. The sizes between those of the source are
/// ours.
///
/// # Examples
/// ```
/// use risewater::supply::usual_velocities;
/// use risewater::units::{Length, millimeter};
///
/// // 1800 ft/min is 9.144 m/s.
/// assert_eq!(usual_velocities(Length::new::<millimeter>(52.5)).max, 9.1);
/// ```
///
/// # References
/// [Metcalf & Eddy](crate::references::METCALF_EDDY), typical air velocities in header pipes, from memory.
#[must_use]
pub fn usual_velocities(bore: Length) -> Range {
    let bore_in = bore.get::<inch>();
    USUAL
        .into_iter()
        .find(|(largest, _)| bore_in < *largest)
        .map_or(USUAL[3].1, |(_, range)| range)
}

/// Whether a velocity is above the usual ones.
#[must_use]
pub(super) fn is_fast(bore: Length, velocity: Velocity) -> bool {
    velocity.get::<meter_per_second>() > usual_velocities(bore).max
}
