//! `risewater supply`: read, solve, format.

use std::path::Path;

use risewater::answer::{SizeAnswer, SupplyAnswer, Terms};
use risewater::chart::PressureFigure;
use risewater::design::SUPPLY_EXAMPLE;
use risewater::report::{BuildPage, DesignSheet};
use risewater::sizing::size;
use risewater::supply::blower::DEMO;
use risewater::supply::drill::DrillSystem;

use crate::args::{DesignArgs, OutputArgs, SureArgs, Units};
use crate::commands::{Answer, in_design, open_or, title, write};
use crate::failure::Failure;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    [svg, html, build_page]: [Option<&Path>; 3],
) -> Result<Answer, Failure> {
    let (mut read, mut answer) = open_or(design, SUPPLY_EXAMPLE)?;
    if design.file.is_none() {
        read = read.with_blower_table(DEMO);
    }
    read = read.with_drills(match output.units {
        Units::Metric => DrillSystem::Metric,
        Units::Us => DrillSystem::Inch,
    });
    read = read.with_law(crate::sure::law(sure)?);
    let in_file = |error| in_design(design, error);
    let supply = read.supply().map_err(in_file)?;
    let problem = read.supply_problem().map_err(in_file)?;
    if read.has_several_duties() {
        let note = "note: the depth of least power is not told for several [[duty]]: `risewater size` sizes the tanks together";
        answer.remarks.push(note.to_owned());
    }
    let need = if read.has_need() {
        Some(read.room_need().map_err(in_file)?)
    } else {
        None
    };
    let terms = read.supply_terms(problem.as_ref(), need.as_ref());
    let terms = terms.map_err(in_file)?;
    let solved = supply.solve()?;
    let found = SupplyAnswer::of(&supply, &solved, &terms)?;
    let units = output.units.into();
    if let Some(path) = svg {
        let mut figure = PressureFigure::of(&supply.plant, &solved)?;
        figure.units = units;
        write(path, &figure.chart().svg()?)?;
    }
    let title = title(design);
    if let Some(path) = build_page {
        let mut page = BuildPage::of(&title, &found);
        page.units = units;
        write(path, &page.html()?)?;
    }
    if let Some(path) = html {
        let searched = problem.as_ref().map(|problem| {
            let terms = Terms::default();
            SizeAnswer::of(problem, &size(problem)?, 0, &terms, None)
        });
        let searched = searched.transpose()?;
        let mut page = DesignSheet::of(&title, &supply, &solved, &found)?;
        page.size = searched.as_ref();
        page.units = units;
        write(path, &page.html()?)?;
    }
    let text = |units| {
        if csv {
            found.csv(units)
        } else if output.verbose {
            found.full_text(units)
        } else {
            found.text(units)
        }
    };
    Ok(answer.with(&found, output, &found.cautions, text))
}
