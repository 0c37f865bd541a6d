//! `risewater supply`: read, solve, format.

use std::path::Path;

use risewater::design::{Refine, SUPPLY_EXAMPLE};
use risewater::report::SupplyReport;
use risewater::sizing::Problem;
use risewater::supply::blower::DEMO;

use crate::args::{CalibrationArgs, DesignArgs, OutputArgs};
use crate::calibrated;
use crate::commands::{Answer, in_design, open_or, pretty, remark};
use crate::failure::Failure;

pub fn run(
    design: &DesignArgs,
    calibration: &CalibrationArgs,
    output: &OutputArgs,
    svg: Option<&Path>,
    html: Option<&Path>,
) -> Result<Answer, Failure> {
    let (mut read, mut answer) = open_or(design, SUPPLY_EXAMPLE)?;
    if design.file.is_none() {
        read = read.with_blower_table(DEMO);
    }
    let calibration = calibrated::read(calibration)?;
    let calibration = calibration.as_ref();
    let refine = Refine {
        riser: &|spec, model| match calibration {
            None => Ok((spec, model)),
            Some(calibration) => calibration.apply(spec, model),
        },
        problem: &|problem| calibrated::problem(problem, calibration),
    };
    let in_file = |error| in_design(design, error);
    let supply = read.supply_with(refine).map_err(in_file)?;
    let problem = read.supply_problem(refine).map_err(in_file)?;
    let assumed = read.supply_assumptions().into_iter();
    let assumed = assumed.map(|one| (one.key.to_owned(), one.value)).collect();
    let mut found = SupplyReport::of(supply, problem.as_ref(), assumed)?;
    if let Some(calibration) = calibration {
        calibrated::supply(&mut found, calibration)?;
    }
    draw(&found, problem.as_ref(), svg, html)?;
    if output.json {
        answer.text = pretty(&found.json(problem.as_ref()));
    } else {
        answer.text = found.text(problem.as_ref(), output.units.into());
        let all = found
            .all_cautions()
            .chain(calibrated::cautions(calibration));
        answer.remarks.extend(all.map(remark));
    }
    Ok(answer)
}

/// Pictures and sheet of a supply. HERE: `--svg` draws the curves of system and blower, `--html` writes the design
/// sheet, both by `commands::write`.
fn draw(
    _found: &SupplyReport,
    _problem: Option<&Problem>,
    svg: Option<&Path>,
    html: Option<&Path>,
) -> Result<(), Failure> {
    for (option, file) in [("--svg", svg), ("--html", html)] {
        if file.is_some() {
            return Err(Failure::Option {
                option,
                message: "not there yet".to_owned(),
            });
        }
    }
    Ok(())
}
