//! The tanks that a design file describes.

use std::path::Path;

use super::name;
use crate::design::Design;
use crate::design::fault::Problem;
use crate::design::sections::{GivenTank, needed};
use crate::error::{Error, Input, NeedError};
use crate::need::{
    Animals, Coefficients, Cycle, Feed, Gases, Inlet, Limits, Makeup, Room, RoomTank, Tank,
    TankWater, parse_cycle, read_cycle,
};
use crate::table::TableError;
use crate::units::base;

impl Design {
    /// Every fault of every tank is told.
    pub(super) fn room(&self) -> Option<Room> {
        let tanks = self.given_tanks();
        let tanks: Vec<Option<RoomTank>> = tanks.iter().map(|tank| self.room_tank(tank)).collect();
        let tanks = tanks.into_iter().collect::<Option<_>>()?;
        Some(Room { tanks })
    }

    fn room_tank(&self, given: &GivenTank) -> Option<RoomTank> {
        let tank = self.tank(given)?;
        let cycle = match &given.cycle {
            Some(file) => Some(self.cycle(given, file, &tank)?),
            None => None,
        };
        let refused = match &cycle {
            Some(cycle) => cycle.needs(Gases::of).err(),
            None => Gases::of(&tank.water)
                .and_then(|gases| tank.need(&gases))
                .err(),
        };
        if let Some(error) = refused {
            self.refused_of(given, error);
            return None;
        }
        Some(RoomTank {
            name: name(given),
            tank,
            cycle,
        })
    }

    fn tank(&self, given: &GivenTank) -> Option<Tank> {
        let section = given.section();
        let path = |key: &str| format!("{section}.{key}");
        let sheet = &self.sheet;
        let animals = self.animals(given);
        let temperature = given.temperature.or(self.given.temperature);
        let temperature = match &given.cycle {
            // Its rows have it.
            Some(_) => temperature.or(Some(base(293.15))),
            None => needed(
                sheet,
                temperature,
                &path("temperature"),
                "the water's temperature, such as \"25 degC\", here or in [water]",
            ),
        };
        let limits = self.limits_of(given);
        let ph = match &limits {
            // It counts for the un-ionised ammonia alone.
            Some(limits) if limits.ammonia.is_none() => Some(given.ph.unwrap_or(base(7.0))),
            _ => needed(
                sheet,
                given.ph,
                &path("ph"),
                "the pH, such as 7.5, or ammonia_limit = \"none\"",
            ),
        };
        let makeup = self.makeup(given);
        let mut tank = Tank::new(
            animals?,
            TankWater {
                temperature: temperature?,
                salinity: given.salinity.or(self.given.salinity).unwrap_or_default(),
                atmosphere: self.given.atmosphere(),
                ph: ph?,
            },
            limits?,
        );
        let usual = Inlet::default();
        tank.inlet = Inlet {
            oxygen: given.oxygen.unwrap_or(usual.oxygen),
            tan: given.tan.unwrap_or(usual.tan),
            carbon_dioxide: given.carbon_dioxide.unwrap_or(usual.carbon_dioxide),
            makeup: makeup?,
        };
        tank.coefficients = coefficients(given);
        tank.volume = given.volume;
        Some(tank)
    }

    fn animals(&self, given: &GivenTank) -> Option<Animals> {
        let section = given.section();
        let path = |key: &str| format!("{section}.{key}");
        let sheet = &self.sheet;
        let by_row = given.cycle.is_some();
        let biomass = given.biomass.or(by_row.then_some(base(0.0)));
        let biomass = needed(
            sheet,
            biomass,
            &path("biomass"),
            "the mass of the animals, such as \"300 kg\", or a cycle",
        );
        let feed = given.feed.or(by_row.then_some(Feed::Share(base(0.0))));
        let feed = needed(
            sheet,
            feed,
            &path("feed"),
            "the feed of a day, such as \"6 kg/d\", or a feed_rate, such as \"2 %/d\"",
        );
        let protein = needed(
            sheet,
            given.protein,
            &path("protein"),
            "the protein of the feed as its label has it, such as \"42 %\"",
        );
        Some(Animals {
            biomass: biomass?,
            feed: feed?,
            protein: protein?,
        })
    }

    fn limits_of(&self, given: &GivenTank) -> Option<Limits> {
        let set = needed(
            &self.sheet,
            given.limits,
            &format!("{}.limits", given.section()),
            "what the water must hold: \"warm_water\", \"salmonids\", or \"none\" and each limit by itself",
        )?;
        Some(Limits {
            oxygen: given.least_oxygen.unwrap_or(set.oxygen),
            tan: given.tan_limit.unwrap_or(set.tan),
            ammonia: given.ammonia_limit.unwrap_or(set.ammonia),
            carbon_dioxide: given.carbon_dioxide_limit.unwrap_or(set.carbon_dioxide),
            turnover: given.turnover.unwrap_or(set.turnover),
        })
    }

    /// The makeup water: all of it, or none.
    #[allow(clippy::option_option, reason = "no makeup is an answer")]
    fn makeup(&self, given: &GivenTank) -> Option<Option<Makeup>> {
        let (oxygen, tan) = (given.makeup_oxygen, given.makeup_tan);
        let carbon_dioxide = given.makeup_carbon_dioxide;
        let all = [
            ("makeup_flow", given.makeup_flow.is_some()),
            ("makeup_oxygen", oxygen.is_some()),
            ("makeup_tan", tan.is_some()),
            ("makeup_carbon_dioxide", carbon_dioxide.is_some()),
        ];
        if all.iter().all(|(_, there)| !there) {
            return Some(None);
        }
        for (key, _) in all.iter().filter(|(_, there)| !there) {
            let path = format!("{}.{key}", given.section());
            let expected = "all of makeup_flow, makeup_oxygen, makeup_tan and makeup_carbon_dioxide, or none of them";
            self.sheet.fault(
                self.sheet.place(&path),
                &path,
                Problem::Missing { expected },
            );
        }
        Some(Some(Makeup {
            flow: given.makeup_flow?,
            oxygen: oxygen?,
            tan: tan?,
            carbon_dioxide: carbon_dioxide?,
        }))
    }

    /// The cycle of a table; its faults at the key that names it.
    fn cycle(&self, given: &GivenTank, file: &str, tank: &Tank) -> Option<Cycle> {
        let read = match self.crop_tables.get(file) {
            Some(text) => parse_cycle(text, tank, Gases::of),
            None => read_cycle(&self.folder.join(Path::new(file)), tank, Gases::of),
        };
        let key = self.key_of(given, &["cycle"]);
        let fault = |message: String| {
            let file = file.into();
            let problem = Problem::Named { file, message };
            self.sheet.fault(self.sheet.place(&key), &key, problem);
        };
        match read {
            Ok(cycle) => return Some(cycle),
            Err(TableError::Unreadable { reason, .. }) => fault(reason.to_string()),
            Err(TableError::Faults { faults }) => {
                for one in faults {
                    fault(one.to_string());
                }
            }
        }
        None
    }

    /// The key to blame: the first that the tank's own section has, or else `[need]`, or else the first.
    fn key_of(&self, given: &GivenTank, keys: &[&str]) -> String {
        let own = given.section();
        let sections = [own.as_str(), "need"];
        let paths = || {
            keys.iter()
                .flat_map(|key| sections.map(|section| format!("{section}.{key}")))
        };
        let there = paths().find(|path| {
            let (section, key) = path.split_once('.').unwrap_or((path, ""));
            self.sheet.find(section, key).is_some()
        });
        there.or_else(|| paths().next()).unwrap_or(own)
    }

    /// What the balance of a tank refuses, at the key to blame.
    fn refused_of(&self, given: &GivenTank, error: Error) {
        let keys: Vec<&str> = match &error {
            _ if given.cycle.is_some() => vec!["cycle"],
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
        let key = self.key_of(given, &keys);
        let problem = match given.number {
            None => Problem::Refused(error),
            Some(_) => Problem::OfTank {
                tank: name(given),
                error: Box::new(error),
            },
        };
        self.sheet.fault(self.sheet.place(&key), &key, problem);
    }
}

/// The key of an input without its section.
fn last(input: Input) -> &'static str {
    input.key().rsplit('.').next().unwrap_or_default()
}

fn coefficients(given: &GivenTank) -> Coefficients {
    let set = if given.bacteria.unwrap_or(true) {
        Coefficients::WITH_BACTERIA
    } else {
        Coefficients::ANIMALS
    };
    Coefficients {
        oxygen_per_feed: given.oxygen_per_feed.unwrap_or(set.oxygen_per_feed),
        tan_per_protein: given.tan_per_protein.unwrap_or(set.tan_per_protein),
        carbon_dioxide_per_oxygen: given
            .carbon_dioxide_per_oxygen
            .unwrap_or(set.carbon_dioxide_per_oxygen),
        solids_per_feed: given.solids_per_feed.unwrap_or(set.solids_per_feed),
        least_oxygen_use: given.least_oxygen_use.or(set.least_oxygen_use),
    }
}
