//! How long animals have when the air stops.

use crate::error::{Error, Input, range};
use crate::units::{
    MassConcentration, MassDensity, SpecificOxygenUse, Time, base, kilogram_per_cubic_meter,
    milligram_per_kilogram_hour, milligram_per_liter,
};

range!(STOCKING, 0.001 to 1000 "kg/m3", "Stocking densities, as mass of animals over volume of water.");
range!(OXYGEN_USE, 0.1 to 100_000 "mg/(kg h)", "Oxygen that animals take, for their mass.");
range!(DISSOLVED_OXYGEN, 0 to 100 "mg/L", "Concentrations of dissolved oxygen.");

/// Animals in a tank whose water has stopped.
///
/// ```text
/// t = (C0 − C1)/(w r)
/// ```
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | C0, C1 | dissolved oxygen at the stop, and the limit | mg/L |
/// | w | mass of animals over volume of water | kg/m³ |
/// | r | oxygen taken, for the mass of animals | mg/(kg h) |
///
/// # Validity
/// A balance, not a forecast: water mixed, no oxygen from the surface, none from algae, none taken by
/// bacteria and feed, and animals that breathe as before. Fed or frightened animals take two or three times
/// as much (common practice), and the water at the bottom has less to begin with.
///
/// # Examples
/// ```
/// use risewater::supply::Stock;
/// use risewater::units::*;
///
/// let stock = Stock {
///     density: MassDensity::new::<kilogram_per_cubic_meter>(60.0),
///     oxygen_use: SpecificOxygenUse::new::<milligram_per_kilogram_hour>(300.0),
///     oxygen: MassConcentration::new::<milligram_per_liter>(7.0),
///     limit: MassConcentration::new::<milligram_per_liter>(3.0),
/// };
/// // 4 mg/L over 60 kg/m³ × 300 mg/(kg h) = 18 mg/(L h)
/// assert_eq!(format!("{:.1}", stock.time_to_limit()?.get::<minute>()), "13.3");
/// # Ok::<(), risewater::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Mass of animals over volume of water.
    pub density: MassDensity,
    /// Oxygen that they take, for their mass.
    pub oxygen_use: SpecificOxygenUse,
    /// Dissolved oxygen when the air stops.
    pub oxygen: MassConcentration,
    /// Dissolved oxygen below which they suffer.
    pub limit: MassConcentration,
}

impl Stock {
    /// Time until the oxygen has fallen to the limit; zero when it is there already.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`STOCKING`], [`OXYGEN_USE`] or [`DISSOLVED_OXYGEN`].
    ///
    /// # Examples
    /// See [`Stock`].
    pub fn time_to_limit(&self) -> Result<Time, Error> {
        let density = self.density.get::<kilogram_per_cubic_meter>();
        STOCKING.check(Input::Stocking, density)?;
        OXYGEN_USE.check(
            Input::OxygenUse,
            self.oxygen_use.get::<milligram_per_kilogram_hour>(),
        )?;
        DISSOLVED_OXYGEN.check(Input::Oxygen, self.oxygen.get::<milligram_per_liter>())?;
        DISSOLVED_OXYGEN.check(Input::OxygenLimit, self.limit.get::<milligram_per_liter>())?;
        let left = self.oxygen - self.limit;
        Ok(if left > base(0.0) {
            left / (self.density * self.oxygen_use)
        } else {
            base(0.0)
        })
    }
}
