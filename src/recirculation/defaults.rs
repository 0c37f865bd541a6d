//! Defaults of a loop, with their sources and spread; those of animals and limits are in
//! [`need::defaults`](crate::need::defaults).

use crate::need::defaults::NeedDefault;
use crate::references::{EBELING_2006, LOSORDO_HOBBS_2000, PORTER_1987, Trust};
use crate::units::{Ratio, Time, base};

/// Moles of cells for a mole of nitrogen oxidised.
pub const CELLS_PER_NITROGEN: NeedDefault<Ratio> = NeedDefault {
    name: "cells of nitrifying bacteria, over the nitrogen oxidised",
    value: base(0.0244),
    low: base(0.0),
    high: base(0.0244),
    unit: "mol/mol",
    reference: Some(EBELING_2006),
    trust: Trust::Memory,
    note: "0.021 in an older handbook equation (from memory); 0 counts no growth and takes the most oxygen",
};

/// Oxygen of the bacteria that live on solids in a filter, over the feed.
pub const OTHER_BACTERIA_PER_FEED: NeedDefault<Ratio> = NeedDefault {
    name: "oxygen used by other bacteria of the filter, over the feed",
    value: base(0.13),
    low: base(0.13),
    high: base(0.63),
    unit: "kg/kg",
    reference: Some(LOSORDO_HOBBS_2000),
    trust: Trust::Memory,
    note: "part of 0.5 kg/kg of animals and all bacteria; of 1.0 where solids stay in the water",
};

/// Oxygen at its peak after a meal over the mean of the day, several meals a day.
pub const OXYGEN_PEAK: NeedDefault<Ratio> = NeedDefault {
    name: "oxygen after a meal, over the mean of the day",
    value: base(1.4),
    low: base(1.3),
    high: base(2.0),
    unit: "",
    reference: None,
    trust: Trust::Memory,
    note: "a design factor, doubtful: 1.3 to 1.5 for several meals",
};

/// The same for one meal a day.
pub const OXYGEN_PEAK_ONE_MEAL: NeedDefault<Ratio> = NeedDefault {
    name: "oxygen after the one meal of a day, over the mean of the day",
    value: base(2.0),
    low: base(1.3),
    high: base(2.0),
    unit: "",
    reference: None,
    trust: Trust::Memory,
    note: "a design factor, doubtful: up to 2 for one meal",
};

/// Ammonia at its peak after a meal over the mean of the day.
pub const AMMONIA_PEAK: NeedDefault<Ratio> = NeedDefault {
    name: "ammonia after a meal, over the mean of the day",
    value: base(1.7),
    low: base(1.6),
    high: base(2.4),
    unit: "",
    reference: Some(PORTER_1987),
    trust: Trust::Read,
    note: "gilthead sea bream of 90 g at 24 degC; 1.63 at 3 g, 2.39 at 40 g; our quotient of hours 0 to 4.5 over the day",
};

/// How long the peak lasts; half the shortest time between meals where that is less.
pub const MEAL_LENGTH: NeedDefault<Time> = NeedDefault {
    name: "length of the peak after a meal",
    value: base(4.5 * 3600.0),
    low: base(3.0 * 3600.0),
    high: base(12.0 * 3600.0),
    unit: "s",
    reference: Some(PORTER_1987),
    trust: Trust::Read,
    note: "gilthead sea bream; peaks of other fish came 3 to 12 h after a meal",
};
