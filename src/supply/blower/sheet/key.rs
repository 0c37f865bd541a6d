//! The lines above the header: intake conditions, kind of machine, kind of power.

use super::Stated;
use crate::air::AirState;
use crate::name::nearest;
use crate::supply::blower::{Machine, PowerKind};
use crate::table::{Faults, TableProblem};
use crate::units::quantity::{QuantityError, absolute_pressure, ratio, temperature};

/// What a line above the header gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Key {
    State,
    Temperature,
    Pressure,
    Humidity,
    Machine,
    PowerKind,
}

/// Every key, its name, and what it takes.
const KEYS: [(Key, &str, &str); 6] = [
    (
        Key::State,
        "intake_state",
        "a name of `risewater list states`",
    ),
    (
        Key::Temperature,
        "intake_temperature",
        "a temperature, such as 20 degC",
    ),
    (
        Key::Pressure,
        "intake_pressure",
        "an absolute pressure, such as 101.325 kPa",
    ),
    (
        Key::Humidity,
        "intake_humidity",
        "a relative humidity, such as 50 %",
    ),
    (Key::Machine, "machine", "dynamic or positive_displacement"),
    (Key::PowerKind, "power_kind", "shaft or wire"),
];

impl Key {
    /// The key of a name, whatever its case.
    pub fn named(text: &str) -> Option<Self> {
        let found = KEYS
            .iter()
            .find(|(_, name, _)| name.eq_ignore_ascii_case(text));
        found.map(|(key, ..)| *key)
    }

    /// No key of this name.
    pub fn unknown(text: &str) -> TableProblem {
        let names = || KEYS.iter().map(|(_, name, _)| *name);
        TableProblem::Unknown {
            what: "key above the header",
            nearest: nearest(text, names()),
            known: names().collect::<Vec<_>>().join(", "),
        }
    }

    fn takes(self) -> (&'static str, &'static str) {
        let found = KEYS.iter().find(|(key, ..)| *key == self);
        found.map_or(("", ""), |(_, name, takes)| (name, takes))
    }
}

/// The lines above the header as they are read.
#[derive(Debug, Default)]
pub(super) struct Keys {
    /// Key, line and value of each.
    given: Vec<(Key, usize, String)>,
}

impl Keys {
    /// Takes a line whose first cell is a key.
    pub fn line(&mut self, key: Key, line: usize, values: &[&str], faults: &mut Faults) {
        let (name, expected) = key.takes();
        if let Some((_, first, _)) = self.given.iter().find(|(other, ..)| *other == key) {
            let first = format!("line {first}");
            faults.at(line, name, "", TableProblem::Duplicate { first });
            return;
        }
        let value = match values {
            [value] if !value.is_empty() => (*value).to_owned(),
            _ => {
                faults.at(
                    line,
                    name,
                    &values.join(","),
                    TableProblem::OneValue { expected },
                );
                String::new()
            }
        };
        self.given.push((key, line, value));
    }

    /// The value of a key, read; its fault told.
    fn read<T>(
        &self,
        key: Key,
        faults: &mut Faults,
        parse: impl Fn(&str) -> Result<T, TableProblem>,
    ) -> Given<T> {
        let Some((_, line, value)) = self.given.iter().find(|(other, ..)| *other == key) else {
            return Given::Absent;
        };
        if value.is_empty() {
            return Given::Faulty;
        }
        match parse(value) {
            Ok(read) => Given::Value(*line, read),
            Err(problem) => {
                faults.at(*line, key.takes().0, value, problem);
                Given::Faulty
            }
        }
    }

    /// Line, name and value of the first of these keys that the file has.
    pub fn place(&self, keys: &[Key]) -> Option<(usize, &'static str, &str)> {
        keys.iter().find_map(|key| {
            let given = self.given.iter().find(|(other, ..)| other == key)?;
            Some((given.1, key.takes().0, given.2.as_str()))
        })
    }

    /// Kind of machine, from the file or the caller.
    pub fn machine(&self, stated: &Stated, faults: &mut Faults) -> Option<Machine> {
        let read = self.read(Key::Machine, faults, |text| match text {
            "dynamic" => Ok(Machine::Dynamic),
            "positive_displacement" => Ok(Machine::PositiveDisplacement),
            _ => Err(word(Key::Machine)),
        });
        self.one(
            Key::Machine,
            read,
            stated.machine,
            Some("machine,dynamic (side-channel, centrifugal) or machine,positive_displacement"),
            faults,
        )
    }

    /// Where the power was measured; needed if there is any.
    pub fn power_kind(
        &self,
        stated: &Stated,
        needed: bool,
        faults: &mut Faults,
    ) -> Option<PowerKind> {
        let read = self.read(Key::PowerKind, faults, |text| match text {
            "shaft" => Ok(PowerKind::Shaft),
            "wire" => Ok(PowerKind::Wire),
            _ => Err(word(Key::PowerKind)),
        });
        let missing = needed.then_some("power_kind,shaft or power_kind,wire (from the mains)");
        self.one(Key::PowerKind, read, stated.power_kind, missing, faults)
    }

    /// State at the intake that the table holds for: by name, or by its three parts.
    pub fn conditions(&self, stated: &Stated, faults: &mut Faults) -> Option<AirState> {
        let quantity = |error: QuantityError| TableProblem::Quantity(error);
        let named = self.read(Key::State, faults, |text| {
            AirState::named(text).map_err(TableProblem::Refused)
        });
        let parts = [Key::Temperature, Key::Pressure, Key::Humidity];
        let t = self.read(parts[0], faults, |text| temperature(text).map_err(quantity));
        let p = self.read(parts[1], faults, |text| {
            absolute_pressure(text).map_err(quantity)
        });
        let humidity = self.read(parts[2], faults, |text| ratio(text).map_err(quantity));
        let first_part = self.given.iter().find(|(key, ..)| parts.contains(key));
        let (key, read) = match (named, first_part) {
            (named, None) => (Key::State, named),
            (Given::Absent, Some((key, line, _))) => {
                let there = [t.is_there(), p.is_there(), humidity.is_there()];
                for (part, _) in parts.iter().zip(there).filter(|(_, there)| !there) {
                    let (name, expected) = part.takes();
                    faults.absent(name, TableProblem::MissingKey { expected });
                }
                let state = match (t, p, humidity) {
                    (Given::Value(_, t), Given::Value(_, p), Given::Value(_, humidity)) => {
                        Given::Value(
                            *line,
                            AirState {
                                temperature: t,
                                pressure: p,
                                humidity,
                            },
                        )
                    }
                    _ => Given::Faulty,
                };
                (*key, state)
            }
            (_, Some((key, line, value))) => {
                let first = Key::State.takes().0.to_owned();
                faults.at(
                    *line,
                    key.takes().0,
                    value,
                    TableProblem::Duplicate { first },
                );
                (*key, Given::Faulty)
            }
        };
        let expected = "the state at the intake that the table holds for: intake_state with a name of `risewater list states`, or intake_temperature, intake_pressure and intake_humidity";
        self.one(key, read, stated.conditions, Some(expected), faults)
    }

    /// What the file or the caller gives, if they do not differ.
    fn one<T: Copy + PartialEq>(
        &self,
        key: Key,
        read: Given<T>,
        stated: Option<T>,
        missing: Option<&'static str>,
        faults: &mut Faults,
    ) -> Option<T> {
        match (read, stated) {
            (Given::Value(line, value), Some(other)) if value != other => {
                let text = self.place(&[key]).map_or("", |(_, _, text)| text);
                faults.at(line, key.takes().0, text, TableProblem::Contradiction);
                None
            }
            (Given::Value(_, value), _) | (Given::Absent, Some(value)) => Some(value),
            (Given::Absent, None) => {
                if let Some(expected) = missing {
                    faults.absent(key.takes().0, TableProblem::MissingKey { expected });
                }
                None
            }
            (Given::Faulty, _) => None,
        }
    }
}

/// A value of the file.
enum Given<T> {
    Absent,
    /// Its fault has been told.
    Faulty,
    /// Line and value.
    Value(usize, T),
}

impl<T> Given<T> {
    fn is_there(&self) -> bool {
        !matches!(self, Self::Absent)
    }
}

fn word(key: Key) -> TableProblem {
    TableProblem::Word {
        expected: key.takes().1,
    }
}
