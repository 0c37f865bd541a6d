//! `risewater size` for several duties: read, ask the library, format.

use std::path::Path;

use risewater::answer::{SizeAnswer, TanksAnswer, Terms};
use risewater::design::DesignFile;
use risewater::report::{UnitSystem, what_to_change};
use risewater::supply::TanksFound;

use crate::args::{DesignArgs, OutputArgs};
use crate::commands::{Answer, in_design, write};
use crate::failure::Failure;
use crate::size::View;

/// Sets that the text shows unless it is told how many.
const SHOWN: usize = 4;

pub fn run(
    (read, answer): (DesignFile, Answer),
    design: &DesignArgs,
    terms: &Terms,
    output: &OutputArgs,
    view: View,
    svg: Option<&Path>,
) -> Result<Answer, Failure> {
    if view == View::Map {
        return Err(Failure::Option {
            option: "--map",
            message: "it shows the search for one duty; the file has several".to_owned(),
        });
    }
    let asked = read
        .tanks_on_header()
        .map_err(|error| in_design(design, error))?;
    let found = asked.search()?;
    let units: UnitSystem = output.units.into();
    let Some(best) = found.best() else {
        return Err(no_design(&found, units)?);
    };
    let told = TanksAnswer::of(&found, best, terms)?;
    if let Some(path) = svg {
        write(path, &told.figure(units).chart().svg()?)?;
    }
    let text = |units| match view {
        View::Best(top) => {
            let top = top.map_or(SHOWN, |top| usize::try_from(top).unwrap_or(usize::MAX));
            if output.verbose {
                told.full_text(units, top)
            } else {
                told.text(units, top)
            }
        }
        _ => told.csv(units),
    };
    Ok(answer.with_named(&told, output, told.remarks(), text))
}

/// Why a set cannot be put together: what was rejected of each tank without a design.
fn no_design(found: &TanksFound, units: UnitSystem) -> Result<Failure, Failure> {
    let (mut rejected, mut groups) = (Vec::new(), Vec::new());
    let tanks = found.asked.tanks.iter().zip(&found.sizings);
    for (tank, sized) in tanks.filter(|(_, sized)| sized.best().is_none()) {
        let told = SizeAnswer::of(&tank.task, sized, 0, &Terms::default(), None)?;
        let reasons = told.rejected_text(units);
        groups.push(format!("\nTank {:?}{reasons}", tank.name));
        rejected.extend(told.rejected);
    }
    Ok(Failure::NoDesign {
        advice: what_to_change(&rejected),
        groups: groups.concat(),
        rejected,
    })
}
