//! `risewater size` for several duties: read, ask the library, format.

use std::path::Path;

use risewater::answer::{SizeAnswer, TanksAnswer, Terms};
use risewater::design::DesignFile;
use risewater::report::{UnitSystem, caution_lines, what_to_change};
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
        View::Best(Some(top)) => told.text(units, usize::try_from(top).unwrap_or(usize::MAX)),
        View::Best(None) => told.text(units, SHOWN),
        _ => told.csv(units),
    };
    let mut answer = answer.with(&told, output, [], text);
    if !output.json {
        let told = told.remarks();
        let (of_all, of_some): (Vec<_>, Vec<_>) =
            told.iter().partition(|(tanks, _)| tanks.is_empty());
        let named = of_some.iter().map(|(tanks, one)| {
            let line = caution_lines([*one], units, true).concat();
            line.replacen("caution: ", &format!("caution: {}: ", tanks.join(", ")), 1)
        });
        answer.remarks.extend(named);
        let of_all = of_all.iter().map(|(_, one)| *one);
        answer
            .remarks
            .extend(caution_lines(of_all, units, output.verbose));
    }
    Ok(answer)
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
