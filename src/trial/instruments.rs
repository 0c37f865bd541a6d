//! What the readings of a bench trial are worth.

use crate::error::{Error, Input, Range, range};
use crate::measurement::digital_step;
use crate::units::{
    Length, Mass, Pressure, Ratio, TemperatureInterval, Time, Volume, base, cubic_meter,
    kelvin_interval, kilogram, meter, pascal, ratio, second,
};

range!(INSTRUMENT_SHARE, 0 to 1, "Shares and correlations of [`Instruments`].");

macro_rules! instruments {
    ($($(#[$doc:meta])* $field:ident, $with:ident: $quantity:ty = $default:expr;)*) => {
        /// Uncertainty of each reading of a bench trial.
        ///
        /// A half-width is how far the truth may be off either way, all places as likely: u = a/√3. A
        /// standard uncertainty is used as it is. The defaults are common practice for a bucket, a
        /// bottle, a hand-held watch and household instruments, from memory; yours are better known
        /// to you.
        ///
        /// | field | kind | default |
        /// |---|---|---|
        /// | `container_reading` | half-width | 0.1 L |
        /// | `container_calibration` | standard, relative | 0.25 %: weighed with water |
        /// | `bottle_reading` | half-width | 0.02 L |
        /// | `bottle_calibration` | standard, relative | 0.5 % |
        /// | `balance` | half-width of the net mass | 0.02 kg |
        /// | `water_density` | half-width, relative | 0.05 %: 2 K at 20 °C, or 0.7 g/kg of salt |
        /// | `start_reaction`, `stop_reaction` | standard | 0.1 s each; 0.1 to 0.2 s in use |
        /// | `systematic_reaction` | share of that variance | 0.5 |
        /// | `watch_step` | step of the display | 0.01 s |
        /// | `shared_timing` | correlation | 1: one person and one watch for water and air |
        /// | `level` | half-width | 2 mm |
        /// | `temperature` | half-width | 0.5 K |
        /// | `barometer` | half-width | 0.1 kPa |
        /// | `air_meter` | standard, relative | 4 % of the reading |
        /// | `tape` | half-width | 2 mm |
        ///
        /// # Examples
        /// ```
        /// use risewater::trial::Instruments;
        /// use risewater::units::{Time, second};
        ///
        /// let light_gate = Time::new::<second>(0.01);
        /// let bench = Instruments::default()
        ///     .with_start_reaction(light_gate)
        ///     .with_stop_reaction(light_gate);
        /// assert_eq!(bench.start_reaction, light_gate);
        /// ```
        #[derive(Debug, Clone, Copy, PartialEq)]
        #[non_exhaustive]
        pub struct Instruments {
            $($(#[$doc])* pub $field: $quantity,)*
        }

        impl Default for Instruments {
            fn default() -> Self {
                Self { $($field: base($default),)* }
            }
        }

        impl Instruments {
            $(
                #[doc = concat!("With another [`", stringify!($field), "`](Self::", stringify!($field), ").")]
                #[must_use]
                pub fn $with(mut self, $field: $quantity) -> Self {
                    self.$field = $field;
                    self
                }
            )*
        }
    };
}

instruments! {
    /// Half-width of reading the water container's mark: meniscus, tilt, foam.
    container_reading, with_container_reading: Volume = 1e-4;
    /// Relative standard uncertainty of the container's own volume.
    container_calibration, with_container_calibration: Ratio = 0.0025;
    /// Half-width of reading the bottle's mark.
    bottle_reading, with_bottle_reading: Volume = 2e-5;
    /// Relative standard uncertainty of the bottle's own volume.
    bottle_calibration, with_bottle_calibration: Ratio = 0.005;
    /// Half-width of the net mass of water.
    balance, with_balance: Mass = 0.02;
    /// Relative half-width of the water's density, for weighed water.
    water_density, with_water_density: Ratio = 5e-4;
    /// Standard uncertainty of the reaction when the watch is started.
    start_reaction, with_start_reaction: Time = 0.1;
    /// Standard uncertainty of the reaction when it is stopped.
    stop_reaction, with_stop_reaction: Time = 0.1;
    /// Share of the variance of the reaction that is the same in every repeat, and so not averaged.
    systematic_reaction, with_systematic_reaction: Ratio = 0.5;
    /// Step of the watch's display.
    watch_step, with_watch_step: Time = 0.01;
    /// Correlation of the systematic reaction between water and air: 1 for one person and one
    /// watch, 0 for two.
    shared_timing, with_shared_timing: Ratio = 1.0;
    /// Half-width of the difference of the water levels inside and outside the bottle.
    level, with_level: Length = 2e-3;
    /// Half-width of the temperature of the air in the bottle.
    temperature, with_temperature: TemperatureInterval = 0.5;
    /// Half-width of the station barometer.
    barometer, with_barometer: Pressure = 100.0;
    /// Relative standard uncertainty of an air meter's reading, at the state that its scale is for.
    air_meter, with_air_meter: Ratio = 0.04;
    /// Half-width of submergence and lift.
    tape, with_tape: Length = 2e-3;
}

range!(RELATIVE_INSTRUMENT, 0 to 0.5, "Relative uncertainties of an instrument: beyond it there is no measurement.");

impl Instruments {
    /// Checks every field: finite and not negative, relative ones up to a half.
    pub(super) fn checked(&self) -> Result<&Self, Error> {
        let absolute = [
            (self.container_reading.get::<cubic_meter>(), "m3"),
            (self.bottle_reading.get::<cubic_meter>(), "m3"),
            (self.balance.get::<kilogram>(), "kg"),
            (self.start_reaction.get::<second>(), "s"),
            (self.stop_reaction.get::<second>(), "s"),
            (self.watch_step.get::<second>(), "s"),
            (self.level.get::<meter>(), "m"),
            (self.temperature.get::<kelvin_interval>(), "K"),
            (self.barometer.get::<pascal>(), "Pa"),
            (self.tape.get::<meter>(), "m"),
        ];
        for (value, unit) in absolute {
            Range::new(0.0, f64::MAX, unit).check(Input::Instrument, value)?;
        }
        for relative in [
            self.container_calibration,
            self.bottle_calibration,
            self.water_density,
            self.air_meter,
        ] {
            RELATIVE_INSTRUMENT.check(Input::Instrument, relative.get::<ratio>())?;
        }
        for share in [self.systematic_reaction, self.shared_timing] {
            INSTRUMENT_SHARE.check(Input::InstrumentShare, share.get::<ratio>())?;
        }
        Ok(self)
    }

    /// Variance of the reaction of one start and one stop, s²: what is the same in every repeat, and
    /// the rest, with the display's step.
    pub(super) fn timing_variance(&self) -> (f64, f64) {
        let reaction = self.start_reaction.get::<second>().powi(2)
            + self.stop_reaction.get::<second>().powi(2);
        let share = self.systematic_reaction.get::<ratio>();
        let step = digital_step(self.watch_step).get::<second>();
        (share * reaction, (1.0 - share) * reaction + step * step)
    }
}
