//! `risewater supply`: read, solve, format.

use std::path::Path;

use risewater::Caution;
use risewater::answer::{SizeAnswer, Terms};
use risewater::chart::PressureFigure;
use risewater::design::SUPPLY_EXAMPLE;
use risewater::report::{DesignSheet, SheetError, SupplyReport};
use risewater::sizing::{Problem, size};
use risewater::supply::blower::DEMO;
use risewater::supply::drill::DrillSystem;
use risewater::transfer::GasTerms;

use crate::args::{DesignArgs, OutputArgs, SureArgs, Units};
use crate::commands::{Answer, in_design, open_or, pretty, remark, write};
use crate::failure::Failure;

/// Designs of the search that the sheet shows.
const SHOWN: usize = 5;

pub fn run(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    svg: Option<&Path>,
    html: Option<&Path>,
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
    let worded = |units: Units| read.supply_assumptions(units.into());
    let units = if output.json {
        Units::Metric
    } else {
        output.units
    };
    let assumed = worded(units).into_iter();
    let assumed = assumed.map(|one| (one.key.to_owned(), one.value)).collect();
    let need = if read.has_need() {
        Some(read.room_need().map_err(in_file)?)
    } else {
        None
    };
    let gas = read.gas().map_err(in_file)?;
    let rise = problem.as_ref().map(|problem| problem.level_rise);
    let found = SupplyReport::of(supply, problem.as_ref(), assumed)?
        .with_doubt_cost(read.held_to_duty())?
        .with_need(need)
        .with_gas(&gas, rise.unwrap_or_default())?;
    let cautions = found.cautions.clone();
    let assumptions: Vec<String> = worded(output.units)
        .iter()
        .map(|one| format!("{} = {}", one.key, one.value))
        .collect();
    let words = (&cautions[..], &assumptions[..]);
    let asked = (output, svg, html);
    draw(&found, design, problem.as_ref(), &gas, words, asked)?;
    if output.json {
        answer.text = pretty(&found.json(problem.as_ref()));
    } else {
        let units = output.units.into();
        answer.text = found.text(problem.as_ref(), units);
        let all = found.all_cautions();
        answer
            .remarks
            .extend(all.map(|caution| remark(caution, units)));
    }
    Ok(answer)
}

/// The picture of system and blower, and the design sheet.
fn draw(
    found: &SupplyReport,
    design: &DesignArgs,
    problem: Option<&Problem>,
    gas: &GasTerms,
    (cautions, assumptions): (&[Caution], &[String]),
    (output, svg, html): (&OutputArgs, Option<&Path>, Option<&Path>),
) -> Result<(), Failure> {
    let sheet = |error: SheetError| match error {
        SheetError::Solve(error) => Failure::from(error),
        SheetError::Chart(error) => Failure::from(error),
    };
    if let Some(path) = svg {
        let mut figure = PressureFigure::of(&found.supply.plant, &found.solved)?;
        figure.units = output.units.into();
        write(path, &figure.chart().svg()?)?;
    }
    if let Some(path) = html {
        let name = design.file.as_deref().and_then(Path::file_stem);
        let title = name.map_or_else(
            || "An invented hatchery".to_owned(),
            |name| name.to_string_lossy().into_owned(),
        );
        let size = match problem {
            Some(problem) => {
                let sized = size(problem)?;
                let terms = Terms {
                    law: problem.law.clone(),
                    gas: *gas,
                    states_outlet: true,
                };
                Some(SizeAnswer::of(problem, &sized, SHOWN, &terms, None)?)
            }
            None => None,
        };
        let mut page = DesignSheet::new(&title, &found.supply, &found.solved);
        page.size = size.as_ref();
        page.need = found.need.as_ref();
        page.gases = found.gases.as_ref();
        page.optimum = found.depths.as_ref().map_or(&[], |depths| &depths.best);
        page.doubt_cost = found.doubt_cost;
        page.assumptions = assumptions;
        page.cautions = cautions;
        page.units = output.units.into();
        write(path, &page.html().map_err(sheet)?)?;
    }
    Ok(())
}
