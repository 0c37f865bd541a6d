//! What water and air pass on their way up.

use super::{ColumnEnd, OperatingPoint, Riser};
use crate::error::{Error, Input, range};
use crate::regime::FlowPattern;
use crate::units::{AbsolutePressure, Length, Ratio, Time, Velocity, base};

range!(STATIONS, 2 to 10_000 "stations", "Numbers of stations of a profile.");

/// One height in a running riser.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Station {
    /// Height above the air inlet.
    pub height: Length,
    /// Absolute pressure.
    pub pressure: AbsolutePressure,
    /// Void fraction of developed flow. The developing length, of which the column's foot pays as a whole, is not
    /// spread over the height.
    pub void_fraction: Ratio,
    /// Mean velocity of the water, j_l/(1 − α).
    pub liquid_velocity: Velocity,
    /// Mean velocity of the gas, j_g/α.
    pub gas_velocity: Velocity,
    /// Flow pattern.
    pub pattern: FlowPattern,
    /// Time of the water since the air inlet.
    pub water_time: Time,
}

impl Riser {
    /// Pressure, void fraction, velocities, pattern and time of the water over the height, from the foot to the mouth.
    ///
    /// Stations lie evenly in the logarithm of the air's pressure, so that the gas grows by the same factor
    /// from each to the next.
    ///
    /// ```text
    /// t = ∫ (1 − α) A/Q dz
    /// ```
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`STATIONS`].
    ///
    /// # Examples
    /// ```
    /// use risewater::riser::{Dimensions, RiserSpec, Site};
    /// use risewater::units::*;
    /// use risewater::{AirFlow, AirState, Model, Water};
    ///
    /// let m = Length::new::<meter>;
    /// let site = Site {
    ///     water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(20.0))?,
    ///     atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    /// };
    /// let riser = RiserSpec::new(Dimensions { bore: m(0.0762), submergence: m(1.0), lift: m(0.1) })
    ///     .build(&site, Model::default())?;
    /// let air = AirFlow::at(VolumeRate::new::<liter_per_minute>(100.0), &AirState::DRY_20_C)?;
    /// let point = *riser.operate(air)?.point().expect("it pumps");
    /// let profile = riser.profile(&point, 20)?;
    /// // It reaches the mouth: submergence and lift together.
    /// assert_eq!(format!("{:.6}", profile[19].height.get::<meter>()), "1.100000");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn profile(&self, point: &OperatingPoint, stations: usize) -> Result<Vec<Station>, Error> {
        #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
        let count = STATIONS.check(Input::Stations, stations as f64)?;
        let column = &self.column;
        let flux = column.air_flux(point.air.kg_per_s());
        let j_l = point.foot.liquid_superficial_velocity.value;
        // Of the water that really flows, with what a calibration says of it.
        let velocity = point.water_flow.value / column.area_m2;
        let (foot_pa, top_pa) = (point.foot.pressure.pascal(), point.top.pressure.pascal());
        let growth = ((top_pa - column.p_v) / (foot_pa - column.p_v)).ln() / (count - 1.0);
        let mut below = column.section(j_l, flux, foot_pa);
        let (mut height, mut time) = (0.0, 0.0);
        let mut profile = Vec::with_capacity(stations);
        profile.push(station(height, time, &column.end(&below)));
        for n in 1..stations {
            #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
            let grown = (growth * n as f64).exp();
            let pressure = if n + 1 == stations {
                top_pa
            } else {
                column.p_v + (foot_pa - column.p_v) * grown
            };
            let above = column.section(j_l, flux, pressure);
            let middle_pa = column.p_v
                + ((below.p - column.p_v) * (above.p - column.p_v))
                    .max(0.0)
                    .sqrt();
            let middle = column.section(j_l, flux, middle_pa);
            let lower = column.height(&middle, &below, flux);
            let upper = column.height(&above, &middle, flux);
            // Trapezes of either half.
            let water = |a: f64, b: f64| 1.0 - f64::midpoint(a, b);
            time += (lower * water(below.alpha, middle.alpha)
                + upper * water(middle.alpha, above.alpha))
                / velocity;
            height += lower + upper;
            profile.push(station(height, time, &column.end(&above)));
            below = above;
        }
        Ok(profile)
    }
}

fn station(height_m: f64, time_s: f64, here: &ColumnEnd) -> Station {
    Station {
        height: base(height_m),
        pressure: here.pressure,
        void_fraction: here.void_fraction,
        liquid_velocity: here.liquid_velocity,
        gas_velocity: here.gas_velocity,
        pattern: here.pattern,
        water_time: base(time_s),
    }
}
