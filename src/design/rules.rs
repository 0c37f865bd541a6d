//! What is wrong with a file whatever it is for: every value by its key, then how the keys of a section go
//! together.

use std::sync::Arc;

use super::fault::Problem;
use super::layers::{Layers, OUTRIGHT};
use super::read::Reading;
use super::sheet::{OwnPipes, Sheet};
use crate::air::pressure_at_altitude;
use crate::error::Error;
use crate::keys::{
    Key, Row, SECTIONS, Section, Usual, aeration, blower, branch, duty, lift, limits, pipe,
    rearing_tank, riser, site, stock, tariff,
};
use crate::name::nearest;
use crate::pipe::Pipe;
use crate::riser::{InjectorKind, Outlet};
use crate::sizing::depths;
use crate::units::Length;

/// Notes every fault of every section; those of `[[pipe]]` are told by [`own_pipes`].
pub(super) fn check(sheet: &Sheet) {
    for section in SECTIONS.iter().filter(|section| section.name != "pipe") {
        for name in sheet.all(section) {
            let there = sheet.at([&name]);
            values(&there, section);
            together(&there, section.name);
            unknown(&there, section);
        }
    }
}

/// Every value of a section, and keys that stand beside others that they must not.
fn values(there: &Layers, section: &Section) {
    let sheet = there.sheet;
    for row in section.keys {
        let Some((item, _)) = sheet.find(there.own(), row.name) else {
            continue;
        };
        Reading {
            sheet,
            row: &there.in_force(row),
            item,
            note: &mut |problem| there.fault(row, problem),
        }
        .value();
        for &(key, other) in row.beside {
            if sheet.find(there.own(), key).is_some() {
                there.fault(row, Problem::Contradiction { other });
            }
        }
    }
}

/// Keys of a section that it does not have.
fn unknown(there: &Layers, section: &Section) {
    let known: Vec<&str> = section.keys.iter().map(|row| row.name).collect();
    for document in there.sheet.tables() {
        let table = there.sheet.table(document, there.own());
        let names = table.into_iter().flat_map(|table| table.iter());
        for (name, _) in names.filter(|(name, _)| !known.contains(name)) {
            let problem = Problem::UnknownKey {
                section: section.title(),
                name: name.to_owned(),
                nearest: nearest(name, &known),
                known: known.clone(),
            };
            let path = format!("{}.{name}", there.own());
            there.sheet.fault(there.sheet.place(&path), &path, problem);
        }
    }
}

/// How the keys of a section go together.
fn together(there: &Layers, section: &str) {
    let sheet = there.sheet;
    let missing = |row: &Row, expected: &'static str| {
        let expected = expected.into();
        there.fault(row, Problem::Missing { expected });
    };
    match section {
        "water" => {
            let given = |row: &&Row| there.has(row);
            if let Some(row) = OUTRIGHT.into_iter().find(given)
                && !OUTRIGHT.iter().all(given)
            {
                missing(
                    row,
                    "all of density, viscosity, surface_tension and vapour_pressure, or none of them",
                );
            }
        }
        "site" => {
            if let (Some(altitude), false) =
                (there.get(&site::ALTITUDE), there.has(&site::PRESSURE))
            {
                sheet.keep(pressure_at_altitude(altitude), site::ALTITUDE.path);
            }
        }
        "riser" => outlet(there),
        "limits" => {
            if let Some(Err(error)) = searched_depths(there) {
                sheet.refused(error, limits::MAX_SUBMERGENCE.path);
            }
        }
        "duty" => {
            if there.own() != section {
                name_of_its_own(there, &duty::NAME);
            }
            let own = [&duty::MIN_SUBMERGENCE.row, &duty::MAX_SUBMERGENCE.row];
            let both = sheet.at([there.own(), "limits"]);
            if let Some(key) = own.into_iter().rfind(|row| there.has(row))
                && let Some(Err(error)) = searched_depths(&both)
            {
                sheet.refused_in(there.own(), error, &there.path(key));
            }
        }
        "aeration" => {
            let others = [
                &aeration::FIELD_TEMPERATURE.row,
                &aeration::ALPHA.row,
                &aeration::BETA.row,
            ];
            if others.iter().any(|row| there.has(row)) {
                there.or_missing(
                    found(there, &aeration::FIELD_OXYGEN),
                    &aeration::FIELD_OXYGEN,
                );
            }
            if there.has(&aeration::POWER_KIND) {
                there.or_missing(found(there, &aeration::POWER), &aeration::POWER);
            }
        }
        "blower" => {
            if there.has(&blower::MOTOR_EFFICIENCY) && !there.has(&blower::SHAFT_EFFICIENCY) {
                missing(
                    &blower::SHAFT_EFFICIENCY,
                    "the efficiency from shaft to air too, or wire_efficiency alone",
                );
            }
            let counted = [&blower::RUNNING.row, &blower::STANDBY.row];
            if let Some(row) = counted.into_iter().find(|row| there.has(row))
                && !(there.has(&blower::TABLE) || there.has(&blower::POINTS))
            {
                missing(
                    row,
                    "a file as blower.table beside it; without a table there is one duty, for all blowers together",
                );
            }
        }
        "branch" => {
            let (own, riser) = (there.get(&branch::INJECTOR), sheet.at(["riser"]));
            let of_riser = riser.get(&riser::INJECTOR);
            if own.is_some() && of_riser.is_some() && own != of_riser {
                let other = "another riser.injector";
                there.fault(&branch::INJECTOR, Problem::Contradiction { other });
            }
            foreign_to_injector(there, &sheet.at([there.own(), "riser"]));
        }
        "lift" => {
            name_of_its_own(there, &lift::NAME);
            foreign_to_injector(there, &sheet.at([there.own(), "branch", "riser"]));
        }
        "rearing_tank" => name_of_its_own(there, &rearing_tank::NAME),
        // All that it needs where the section is there.
        "tariff" if sheet.has(section) => all(there, tariff::ALL),
        "stock" if sheet.has(section) => all(there, stock::ALL),
        _ => {}
    }
}

/// The depths that a section searches; none without the deepest.
pub(super) fn searched_depths(there: &Layers) -> Option<Result<Vec<Length>, Error>> {
    let deepest = there.get(&limits::MAX_SUBMERGENCE)?;
    let shallowest = there.get(&limits::MIN_SUBMERGENCE);
    Some(depths(
        shallowest,
        deepest,
        there.get(&limits::SUBMERGENCE_STEP),
    ))
}

fn found(there: &Layers, row: &Row) -> Option<()> {
    there.has(row).then_some(())
}

fn all(there: &Layers, rows: &[Row]) {
    let needed = |row: &&Row| matches!(row.usual, Usual::Needed(_));
    for row in rows.iter().filter(needed) {
        there.or_missing(found(there, row), row);
    }
}

/// What an outlet needs, and keys that belong to another.
fn outlet(there: &Layers) {
    let Some(name) = there.usual(&riser::OUTLET) else {
        return;
    };
    let Some(&outlet) = Outlet::NAMES.iter().find(|known| **known == name) else {
        return;
    };
    for row in riser::ALL.iter().filter(|row| !row.of.is_empty()) {
        if there.has(row) && outlet != row.of {
            let belongs_to = row.of;
            there.fault(row, Problem::OtherOutlet { belongs_to, outlet });
        }
    }
    if outlet == riser::OUTLET_DEPTH.of {
        there.or_missing(found(there, &riser::OUTLET_DEPTH), &riser::OUTLET_DEPTH);
    }
}

/// Keys that belong to another injector than the one chosen, here or in a section behind.
fn foreign_to_injector(there: &Layers, chosen: &Layers) {
    let injector = chosen.get(&branch::INJECTOR);
    let injector = injector.unwrap_or(InjectorKind::OpenTube).name();
    for row in branch::ALL.iter().filter(|row| !row.of.is_empty()) {
        if there.has(row) && injector != row.of {
            let belongs_to = row.of;
            there.fault(
                row,
                Problem::OtherInjector {
                    belongs_to,
                    injector,
                },
            );
        }
    }
}

/// The names that sections of a kind go by: their own, or that with their number.
pub(super) fn named(sheet: &Sheet, section: &str, key: &Key<String>) -> Option<String> {
    let there = sheet.at([section]);
    let numbered = match section.split_once(' ') {
        Some(("lift", _)) => Some(section.to_owned()),
        Some(("duty", number)) => Some(format!("tank {number}")),
        _ => None,
    };
    let of_tank = || {
        section
            .starts_with("duty")
            .then(|| there.get(&duty::TANK))
            .flatten()
    };
    there.get(key).or_else(of_tank).or(numbered)
}

/// Notes a name that a section before has already.
fn name_of_its_own(there: &Layers, key: &Key<String>) {
    let kind = key.path.split('.').next().unwrap_or_default();
    let before = (1..).map(|number| format!("{kind} {number}"));
    let before = before.take_while(|section| section != there.own());
    let Some(name) = named(there.sheet, there.own(), key) else {
        return;
    };
    let mut same =
        before.filter(|section| named(there.sheet, section, key).as_ref() == Some(&name));
    if let Some(other) = same.next() {
        there.fault(key, Problem::NameTaken { name, other });
    }
}

/// The pipes of `[[pipe]]`, in the file's order.
pub(super) fn own_pipes(sheet: &Sheet) -> OwnPipes {
    let mut own = OwnPipes::default();
    for section in SECTIONS.iter().filter(|section| section.name == "pipe") {
        for name in &sheet.all(section) {
            let there = sheet.at([name]);
            values(&there, section);
            let built = own_pipe(&there, &mut own);
            unknown(&there, section);
            own.pipes.extend(built);
        }
    }
    own
}

fn own_pipe(there: &Layers, own: &mut OwnPipes) -> Option<Arc<Pipe>> {
    let name = there.get(&pipe::NAME).map(|name| name.trim().to_owned());
    let (bore, outside) = (there.get(&pipe::BORE), there.get(&pipe::OUTSIDE_DIAMETER));
    let is_blank = name.as_deref() == Some("");
    for (row, blank) in [
        (&pipe::NAME.row, is_blank),
        (&pipe::BORE.row, false),
        (&pipe::OUTSIDE_DIAMETER.row, false),
    ] {
        there.or_missing(found(there, row).filter(|()| !blank), row);
    }
    let name = name.filter(|name| !name.is_empty());
    let taken = name.as_deref().and_then(|name| match own.number(name) {
        Some(other) => Some(format!("pipe {other}")),
        None => Pipe::named(name)
            .ok()
            .map(|_| "a pipe of the catalogue".to_owned()),
    });
    own.names.push(name.clone().unwrap_or_default());
    if let (Some(name), Some(other)) = (&name, &taken) {
        let (name, other) = (name.clone(), other.clone());
        there.fault(&pipe::NAME, Problem::NameTaken { name, other });
    }
    let name = name.filter(|_| taken.is_none())?;
    match Pipe::new(&name, bore?, outside?) {
        Ok(mut built) => {
            built.pressure_pipe = there.usual(&pipe::PRESSURE_PIPE)?;
            Some(Arc::new(built))
        }
        Err(error) => {
            let section = there.own();
            let otherwise = there.path(&pipe::BORE);
            there.sheet.refused_in(section, error, &otherwise);
            None
        }
    }
}
