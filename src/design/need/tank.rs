//! The tanks that a design file describes.

use super::name;
use crate::design::DesignFile;
use crate::design::fault::Problem;
use crate::design::layers::Layers;
use crate::design::set;
use crate::error::{Error, Input, NeedError};
use crate::keys::{Key, OrNone, described, need, water};
use crate::need::{
    Animals, Coefficients, Entering, EnteringOxygen, Feed, Gases, Inlet, Limits, Makeup, Room,
    RoomNeed, RoomTank, RoomTankNeed, Tank, TankWater, parse_cycle,
};
use crate::units::base;

impl DesignFile {
    /// The tanks and what they need, found once; every fault of every tank is told.
    pub(super) fn room(&self) -> Option<&(Room, RoomNeed)> {
        if self.room.get().is_none() {
            let tanks = self.tanks();
            let tanks: Vec<_> = tanks.iter().map(|tank| self.room_tank(tank)).collect();
            let tanks: Option<Vec<_>> = tanks.into_iter().collect();
            let (tanks, needs) = tanks?.into_iter().unzip();
            return Some(
                self.room
                    .get_or_init(|| (Room { tanks }, RoomNeed::of(needs))),
            );
        }
        self.room.get()
    }

    fn room_tank(&self, own: &Layers) -> Option<(RoomTank, RoomTankNeed)> {
        let tank = self.tank(own)?;
        let cycle = match cycle(own) {
            Some(file) => {
                let key = self.key_of(own, &["cycle"]);
                let parse = |text: &str| parse_cycle(text, &tank, Gases::of);
                Some(self.in_file((&key, &file), parse)?)
            }
            None => None,
        };
        let name = name(own);
        let tank = RoomTank { name, tank, cycle };
        match tank.need(Gases::of) {
            Ok(need) => Some((tank, need)),
            Err(error) => {
                self.refused_of(own, error);
                None
            }
        }
    }

    fn tank(&self, own: &Layers) -> Option<Tank> {
        let animals = animals(own);
        let water = self.sheet.at(["water"]);
        let temperature = own.get(&need::TEMPERATURE);
        let temperature = temperature.or_else(|| water.get(&water::TEMPERATURE));
        let temperature = match cycle(own) {
            // Its rows have it.
            Some(_) => temperature.or(Some(base(293.15))),
            None => own.or_missing(temperature, &need::TEMPERATURE),
        };
        let limits = all_limits(own);
        let ph = match &limits {
            // It counts for the un-ionised ammonia alone.
            Some(limits) if limits.ammonia.is_none() => Some(own.get(&need::PH).unwrap_or(7.0)),
            _ => own.needed(&need::PH),
        };
        let makeup = makeup(own);
        let salinity = own.get(&need::SALINITY);
        let mut tank = Tank::new(
            animals?,
            TankWater {
                temperature: temperature?,
                salinity: salinity.or_else(|| water.usual(&water::SALINITY))?,
                atmosphere: described::atmosphere(&self.sheet.at(["site"])),
                ph: base(ph?),
            },
            limits?,
        );
        tank.inlet.makeup = makeup?;
        entering::read(own, &mut tank.inlet);
        tank.coefficients = coefficients(own)?;
        tank.volume = own.get(&need::VOLUME);
        Some(tank)
    }

    /// The key to blame: the first that the tank's own section has, or else `[need]`, or else the first.
    fn key_of(&self, own: &Layers, keys: &[&str]) -> String {
        let sections = [own.own(), "need"];
        let paths = || {
            keys.iter()
                .flat_map(|key| sections.map(|section| format!("{section}.{key}")))
        };
        let there = paths().find(|path| {
            let (section, key) = path.split_once('.').unwrap_or((path, ""));
            self.sheet.find(section, key).is_some()
        });
        there.or_else(|| paths().next()).unwrap_or_default()
    }

    /// What the balance of a tank refuses, at the key to blame.
    fn refused_of(&self, own: &Layers, error: Error) {
        let keys: Vec<&str> = match &error {
            _ if cycle(own).is_some() => vec!["cycle"],
            Error::Need(NeedError::LimitTooTight {
                limit, entering, ..
            }) => vec![last(*limit), "limits", last(*entering)],
            Error::Need(NeedError::LimitAboveSaturation { .. }) => {
                vec![last(Input::LeastOxygen), "limits"]
            }
            Error::Need(NeedError::AmmoniaUnknown) => vec![last(Input::AmmoniaLimit), "limits"],
            Error::Need(NeedError::NoVolume) => vec!["turnover"],
            Error::Need(NeedError::FeedWithoutAnimals { .. }) => vec!["biomass"],
            other => match other.input() {
                Some(input) => vec![last(input)],
                None => vec!["limits"],
            },
        };
        let key = self.key_of(own, &keys);
        let problem = if own.own() == "need" {
            Problem::Refused(error)
        } else {
            Problem::OfTank {
                tank: name(own),
                error: Box::new(error),
            }
        };
        self.sheet.fault(self.sheet.place(&key), &key, problem);
    }
}

/// The key of an input without its section.
fn last(input: Input) -> &'static str {
    input.key().rsplit('.').next().unwrap_or_default()
}

/// The table of a crop. Animals of its own follow none of `[need]`.
pub(in crate::design) fn cycle(own: &Layers) -> Option<String> {
    let animals = [
        &need::CYCLE.row,
        &need::BIOMASS,
        &need::FEED,
        &need::FEED_RATE,
    ];
    own.with(&animals)?.get(&need::CYCLE)
}

/// The animals; where a cycle has them, none yet.
pub(in crate::design) fn animals(own: &Layers) -> Option<Animals> {
    let by_row = cycle(own).is_some();
    let biomass = if by_row {
        Some(base(0.0))
    } else {
        own.needed(&need::BIOMASS)
    };
    let feed = own.with(&[&need::FEED, &need::FEED_RATE]).and_then(|one| {
        let share = || one.get(&need::FEED_RATE).map(Feed::Share);
        one.get(&need::FEED).map(Feed::Mass).or_else(share)
    });
    let feed = if by_row {
        Some(Feed::Share(base(0.0)))
    } else {
        own.or_missing(feed, &need::FEED)
    };
    let protein = own.needed(&need::PROTEIN);
    Some(Animals {
        biomass: biomass?,
        feed: feed?,
        protein: protein?,
    })
}

/// The set of limits to start from.
pub(super) fn limits(own: &Layers) -> Option<Limits> {
    Some(match own.get(&need::LIMITS)?.as_str() {
        "warm_water" => Limits::WARM_WATER,
        "salmonids" => Limits::SALMONIDS,
        _ => Limits::NONE,
    })
}

pub(in crate::design) fn all_limits(own: &Layers) -> Option<Limits> {
    let set = own.or_missing(limits(own), &need::LIMITS)?;
    let limit = |key: &Key<OrNone<_>>, of_set| own.get(key).map_or(of_set, |own| own.0);
    Some(Limits {
        oxygen: limit(&need::LEAST_OXYGEN, set.oxygen),
        tan: limit(&need::TAN_LIMIT, set.tan),
        ammonia: limit(&need::AMMONIA_LIMIT, set.ammonia),
        carbon_dioxide: limit(&need::CARBON_DIOXIDE_LIMIT, set.carbon_dioxide),
        turnover: own.get(&need::TURNOVER).map_or(set.turnover, |own| own.0),
    })
}

/// What enters a tank: of the ways to say it, that of the nearest section.
pub(super) mod entering {
    use super::{Entering, EnteringOxygen, Inlet, Layers, set};
    use crate::keys::{Row, need};

    pub const OXYGEN: [&Row; 3] = [
        &need::ENTERING_OXYGEN.row,
        &need::ENTERING_SATURATION.row,
        &need::REAERATION.row,
    ];
    pub const TAN: [&Row; 2] = [&need::ENTERING_TAN.row, &need::TAN_REMOVAL.row];
    pub const CARBON_DIOXIDE: [&Row; 2] = [
        &need::ENTERING_CARBON_DIOXIDE.row,
        &need::CARBON_DIOXIDE_REMOVAL.row,
    ];

    pub fn read(tank: &Layers, inlet: &mut Inlet) {
        let oxygen = tank.with(&OXYGEN).and_then(|one| {
            let share = || {
                one.get(&need::ENTERING_SATURATION)
                    .map(EnteringOxygen::Saturated)
            };
            let again = || one.get(&need::REAERATION).map(EnteringOxygen::Reaerated);
            let known = one.get(&need::ENTERING_OXYGEN).map(EnteringOxygen::Known);
            known.or_else(share).or_else(again)
        });
        set(&mut inlet.oxygen, oxygen);
        let tan = tank.with(&TAN).and_then(|one| {
            let removed = || one.get(&need::TAN_REMOVAL).map(Entering::Treated);
            one.get(&need::ENTERING_TAN)
                .map(Entering::Known)
                .or_else(removed)
        });
        set(&mut inlet.tan, tan);
        let carbon_dioxide = tank.with(&CARBON_DIOXIDE).and_then(|one| {
            let removed = || {
                one.get(&need::CARBON_DIOXIDE_REMOVAL)
                    .map(Entering::Treated)
            };
            let known = one.get(&need::ENTERING_CARBON_DIOXIDE).map(Entering::Known);
            known.or_else(removed)
        });
        set(&mut inlet.carbon_dioxide, carbon_dioxide);
    }
}

/// The makeup water: all of it, or none.
#[allow(clippy::option_option, reason = "no makeup is an answer")]
pub(in crate::design) fn makeup(own: &Layers) -> Option<Option<Makeup>> {
    let all = [
        &need::MAKEUP_FLOW.row,
        &need::MAKEUP_OXYGEN.row,
        &need::MAKEUP_TAN.row,
        &need::MAKEUP_CARBON_DIOXIDE.row,
    ];
    if own.with(&all).is_none() {
        return Some(None);
    }
    let flow = own.needed(&need::MAKEUP_FLOW);
    let (oxygen, tan) = (
        own.needed(&need::MAKEUP_OXYGEN),
        own.needed(&need::MAKEUP_TAN),
    );
    let carbon_dioxide = own.needed(&need::MAKEUP_CARBON_DIOXIDE);
    Some(Some(Makeup {
        flow: flow?,
        oxygen: oxygen?,
        tan: tan?,
        carbon_dioxide: carbon_dioxide?,
    }))
}

pub(in crate::design) fn coefficients(own: &Layers) -> Option<Coefficients> {
    let mut set_of = if own.usual(&need::BACTERIA)? {
        Coefficients::WITH_BACTERIA
    } else {
        Coefficients::ANIMALS
    };
    set(&mut set_of.oxygen_per_feed, own.get(&need::OXYGEN_PER_FEED));
    set(&mut set_of.tan_per_protein, own.get(&need::TAN_PER_PROTEIN));
    set(
        &mut set_of.carbon_dioxide_per_oxygen,
        own.get(&need::CARBON_DIOXIDE_PER_OXYGEN),
    );
    set(&mut set_of.solids_per_feed, own.get(&need::SOLIDS_PER_FEED));
    let least = own.get(&need::LEAST_OXYGEN_USE);
    set_of.least_oxygen_use = least.or(set_of.least_oxygen_use);
    Some(set_of)
}
