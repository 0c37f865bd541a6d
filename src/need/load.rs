//! What animals use and give off, by their feed.

use super::defaults;
use crate::error::{Error, Input, NeedError, range};
use crate::supply::OXYGEN_USE;
use crate::units::{
    Frequency, Mass, MassRate, Ratio, SpecificOxygenUse, base, kilogram, kilogram_per_day,
    milligram_per_kilogram_hour, per_day, ratio,
};

range!(BIOMASS, 0 to 1e9 "kg", "Masses of animals in a tank.");
range!(FEED_SHARE, 0 to 500 "%/d",
    "Feed as a share of the animals' mass; larvae may eat more than their own mass a day.");
range!(FEED, 0 to 1e9 "kg/d", "Feed as a mass.");
range!(PROTEIN, 0 to 1, "Protein fractions of a feed.");
range!(COEFFICIENT, 0 to 5, "Every [`Coefficients`] that is a mass over a mass.");

/// Feed of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Feed {
    /// As a share of the animals' mass: 2 % a day is 0.02 [`per_day`].
    Share(Frequency),
    /// As a mass.
    Mass(MassRate),
}

/// Animals and their feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Animals {
    /// Their mass.
    pub biomass: Mass,
    /// Their feed.
    pub feed: Feed,
    /// Mass of protein over mass of feed, as the label of the feed gives it.
    pub protein: Ratio,
}

/// What a kilogram of feed comes to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Oxygen used, over the feed.
    pub oxygen_per_feed: Ratio,
    /// Total ammonia nitrogen, over the protein fed.
    pub tan_per_protein: Ratio,
    /// Carbon dioxide given off, over the oxygen used.
    pub carbon_dioxide_per_oxygen: Ratio,
    /// Suspended solids, over the feed.
    pub solids_per_feed: Ratio,
    /// Oxygen that animals take whether they are fed or not: counts when it is more than that for the feed.
    pub least_oxygen_use: Option<SpecificOxygenUse>,
}

impl Coefficients {
    /// Animals alone, as in water that passes once.
    pub const ANIMALS: Self = Self {
        oxygen_per_feed: defaults::OXYGEN_ANIMALS.value,
        tan_per_protein: defaults::TAN_PER_PROTEIN.value,
        carbon_dioxide_per_oxygen: defaults::CARBON_DIOXIDE_PER_OXYGEN.value,
        solids_per_feed: defaults::SOLIDS_PER_FEED.value,
        least_oxygen_use: None,
    };

    /// Animals and the bacteria in their water, as where it is used again.
    pub const WITH_BACTERIA: Self = Self {
        oxygen_per_feed: defaults::OXYGEN_WITH_BACTERIA.value,
        ..Self::ANIMALS
    };
}

/// The one that asks for more water: [`Coefficients::WITH_BACTERIA`].
impl Default for Coefficients {
    fn default() -> Self {
        Self::WITH_BACTERIA
    }
}

/// What animals use and give off, mean of a day.
#[derive(Debug, Clone, Copy, PartialEq)]
#[must_use]
pub struct Load {
    /// Feed.
    pub feed: MassRate,
    /// Oxygen used.
    pub oxygen: MassRate,
    /// Total ammonia nitrogen.
    pub tan: MassRate,
    /// Carbon dioxide.
    pub carbon_dioxide: MassRate,
    /// Suspended solids.
    pub solids: MassRate,
}

impl Load {
    /// Oxygen that bacteria take to turn all of the ammonia into nitrate. It is part of
    /// [`Load::oxygen`] already where that counts the bacteria.
    #[must_use]
    pub fn nitrification_oxygen(&self) -> MassRate {
        self.tan * defaults::NITRIFICATION_OXYGEN.value
    }

    /// Alkalinity that goes with it, as calcium carbonate.
    #[must_use]
    pub fn nitrification_alkalinity(&self) -> MassRate {
        self.tan * defaults::NITRIFICATION_ALKALINITY.value
    }
}

impl Animals {
    /// What they use and give off.
    ///
    /// ```text
    /// F = f W,  R = max(a F, r W),  P_TAN = k F p,  P_CO2 = q R,  P_S = s F
    /// ```
    ///
    /// | symbol | meaning |
    /// |---|---|
    /// | W, F, f | mass of the animals; feed; feed as a share |
    /// | R, a, r | oxygen; oxygen over feed; least oxygen over mass of animals, 0 unless given |
    /// | P, k, p | given off; TAN over protein; protein fraction |
    /// | q, s | carbon dioxide over oxygen; solids over feed |
    ///
    /// # Validity
    /// A mean of the day, of animals that are fed: after a meal they use more, and without feed this counts
    /// none at all unless [`Coefficients::least_oxygen_use`] is given.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`BIOMASS`], [`FEED_SHARE`], [`FEED`], [`PROTEIN`], [`COEFFICIENT`] or
    /// [`OXYGEN_USE`]; [`NeedError::FeedWithoutAnimals`].
    ///
    /// # Examples
    /// ```
    /// use risewater::need::{Animals, Coefficients, Feed};
    /// use risewater::units::{Frequency, Mass, Ratio, gram_per_day, kilogram, per_day, percent};
    ///
    /// let animals = Animals {
    ///     biomass: Mass::new::<kilogram>(100.0),
    ///     feed: Feed::Share(Frequency::new::<per_day>(0.02)),
    ///     protein: Ratio::new::<percent>(42.0),
    /// };
    /// // 0.092 × 2 kg/d × 0.42
    /// let load = animals.load(&Coefficients::WITH_BACTERIA)?;
    /// assert_eq!(format!("{:.2}", load.tan.get::<gram_per_day>()), "77.28");
    /// # Ok::<(), risewater::Error>(())
    /// ```
    ///
    /// # References
    /// [Timmons & Ebeling](crate::references::TIMMONS_EBELING), chapter 3;
    /// [Losordo & Hobbs (2000)](crate::references::LOSORDO_HOBBS_2000).
    pub fn load(&self, coefficients: &Coefficients) -> Result<Load, Error> {
        let feed = self.feed_mass()?;
        PROTEIN.check(Input::Protein, self.protein.get::<ratio>())?;
        coefficients.check()?;
        let fed = coefficients.oxygen_per_feed * feed;
        let least = coefficients
            .least_oxygen_use
            .map_or(base(0.0), |least| self.biomass * least);
        let oxygen = if least > fed { least } else { fed };
        Ok(Load {
            feed,
            oxygen,
            tan: coefficients.tan_per_protein * feed * self.protein,
            carbon_dioxide: coefficients.carbon_dioxide_per_oxygen * oxygen,
            solids: coefficients.solids_per_feed * feed,
        })
    }

    /// Feed as a mass, of animals that can be.
    fn feed_mass(&self) -> Result<MassRate, Error> {
        BIOMASS.check(Input::Biomass, self.biomass.get::<kilogram>())?;
        let feed = match self.feed {
            Feed::Share(share) => {
                FEED_SHARE.check(Input::FeedShare, 100.0 * share.get::<per_day>())?;
                self.biomass * share
            }
            Feed::Mass(feed) => feed,
        };
        FEED.check(Input::Feed, feed.get::<kilogram_per_day>())?;
        if self.is_none() && feed > base(0.0) {
            let biomass = self.biomass;
            return Err(Error::Need(NeedError::FeedWithoutAnimals { feed, biomass }));
        }
        Ok(feed)
    }

    /// Whether there are no animals.
    pub(super) fn is_none(&self) -> bool {
        self.biomass == base(0.0)
    }
}

impl Coefficients {
    fn check(&self) -> Result<(), Error> {
        let all = [
            (Input::OxygenPerFeed, self.oxygen_per_feed),
            (Input::TanPerProtein, self.tan_per_protein),
            (
                Input::CarbonDioxidePerOxygen,
                self.carbon_dioxide_per_oxygen,
            ),
            (Input::SolidsPerFeed, self.solids_per_feed),
        ];
        for (what, value) in all {
            COEFFICIENT.check(what, value.get::<ratio>())?;
        }
        if let Some(least) = self.least_oxygen_use {
            OXYGEN_USE.check(
                Input::LeastOxygenUse,
                least.get::<milligram_per_kilogram_hour>(),
            )?;
        }
        Ok(())
    }
}
