//! What can go wrong in a loop, as another loop.

use super::lifts::scaled;
use super::{Loop, fault};
use crate::error::{Error, Input, RecirculationError, range};
use crate::gas::TEMPERATURE;
use crate::units::{TemperatureInterval, degree_celsius, kelvin_interval};

range!(TEMPERATURE_RISE, -20 to 20 "K", "Rises of the temperature.");

/// A change of a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub enum LoopChange {
    /// Some lifts of a group stand, the group counted from 0.
    LiftsOff {
        /// The group.
        group: usize,
        /// How many.
        lifts: u32,
    },
    /// The water passes the filter by.
    FilterBypassed,
    /// Warmer water, or colder below zero: saturation, the filter's rates on an area and the risers' coefficients
    /// follow; what animals take stays as given.
    Warmer(TemperatureInterval),
}

impl Loop {
    /// The loop after a change, everything else as it is.
    ///
    /// # Errors
    /// [`RecirculationError::NoSuchLifts`]; [`Error::OutOfRange`] outside [`TEMPERATURE_RISE`] or
    /// [`TEMPERATURE`].
    pub fn changed(&self, change: &LoopChange) -> Result<Self, Error> {
        let mut after = self.clone();
        match *change {
            LoopChange::LiftsOff { group, lifts } => {
                let left = after.lifts.get_mut(group).and_then(|group| {
                    group.count = group.count.checked_sub(lifts)?;
                    Some(())
                });
                if left.is_none() {
                    let group = group + 1;
                    return Err(fault(RecirculationError::NoSuchLifts { group, lifts }));
                }
            }
            LoopChange::FilterBypassed => after.filter = None,
            LoopChange::Warmer(rise) => after.warm(rise)?,
        }
        Ok(after)
    }

    fn warm(&mut self, rise: TemperatureInterval) -> Result<(), Error> {
        TEMPERATURE_RISE.check(Input::TemperatureRise, rise.get::<kelvin_interval>())?;
        let before = self.air;
        self.air.temperature = before.temperature + rise;
        let t_c = self.air.temperature.get::<degree_celsius>();
        TEMPERATURE.check(Input::WaterTemperature, t_c)?;
        let after = self.air;
        for tank in &mut self.tanks {
            if let Some(surface) = &mut tank.surface
                && let Some(equilibrium) = &mut surface.equilibrium
            {
                *equilibrium = scaled(equilibrium, &before, &after)?;
            }
        }
        if let Some(filter) = &mut self.filter {
            filter.rate_temperature.get_or_insert(before.temperature);
        }
        for group in &mut self.lifts {
            group.exchange = group.exchange.in_water(&before, &after)?;
        }
        Ok(())
    }
}
