//! `risewater trial`: the bench.

use std::path::Path;

use risewater::design::{Design, FileError, read_text};
use risewater::report::{ComparisonReport, FitReport, PlanReport, TrialReport, TrialTerms};
use risewater::trial::{
    Bench, DEMO, DEMO_RIG, Doubt, Instruments, Matching, NoFlowRun, ReducedRun, Run, doubts,
    no_flow, parse_sheet, read_sheet, reduce, same_configuration,
};
use risewater::units::{Ratio, quantity};
use risewater::{Calibration, ErrorLaw, RiserSpec};

use crate::args::{OutputArgs, Units};
use crate::commands::{Answer, pretty, remark, write};
use crate::configurations;
use crate::failure::Failure;
use crate::trial_args::{RigArgs, Trial};

/// A rig, with the file that it is of.
struct Rig<'a> {
    file: Option<&'a Path>,
    design: Design,
}

impl Rig<'_> {
    fn failure(&self, error: FileError) -> Failure {
        in_file(self.file, error)
    }

    /// What its file plans; none where it plans nothing.
    fn bench(&self) -> Option<Bench> {
        self.design.bench().ok()
    }
}

/// Runs a command of the bench.
pub fn run(trial: &Trial) -> Result<Answer, Failure> {
    match trial {
        Trial::Reduce {
            sheet,
            rig,
            output,
            csv,
            level,
        } => reduced(sheet.as_deref(), rig, output, *csv, level),
        Trial::Plan {
            rig,
            set,
            sure,
            output,
            csv,
        } => plan(rig.as_deref(), set, &crate::sure::law(sure)?, output, *csv),
        Trial::Compare {
            sheet,
            rig,
            output,
            csv,
            pairs,
            svg,
            first,
            second,
            second_rig,
            air_tolerance,
        } => compare(&Compare {
            sheet: sheet.as_deref(),
            rig,
            output,
            csv: *csv,
            pairs: pairs.as_deref(),
            svg: svg.as_deref(),
            names: first.as_deref().zip(second.as_deref()),
            second_rig: second_rig.as_deref(),
            air_tolerance,
        }),
        Trial::Fit {
            sheet,
            rig,
            configuration,
            level,
            save,
            output,
            svg,
        } => fit(&Fit {
            sheet: sheet.as_deref(),
            rig,
            configuration: configuration.as_deref(),
            level,
            save: save.as_deref(),
            output,
            svg: svg.as_deref(),
        }),
        Trial::Aeration {
            design,
            output,
            svg,
        } => crate::aeration::run(design, output, svg.as_deref()),
        Trial::Demo { rig } => Ok(if *rig { DEMO_RIG } else { DEMO }.to_owned().into()),
    }
}

fn reduced(
    sheet: Option<&Path>,
    args: &RigArgs,
    output: &OutputArgs,
    csv: bool,
    level: &str,
) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    let terms = TrialTerms {
        level: share("--level", level)?,
        ..TrialTerms::default()
    };
    // The readings of a sheet need no riser: the usual instruments will do.
    let rig = match (&args.rig, sheet) {
        (Some(file), _) => Some(open(Some(file), &args.set)?),
        (None, None) => Some(open(None, &args.set)?),
        (None, Some(_)) if args.set.is_empty() => None,
        (None, Some(_)) => Some(parse(None, "", &args.set)?),
    };
    let runs = runs(sheet, &mut answer)?;
    let bench = rig.as_ref().and_then(Rig::bench);
    let (instruments, wanted) = rig.map_or((Instruments::default(), None), |rig| {
        (rig.design.instruments(), rig.design.wanted())
    });
    let terms = TrialTerms {
        wanted: wanted.unwrap_or(terms.wanted),
        ..terms
    };
    let found = TrialReport::of(&runs, bench.as_ref(), &instruments, terms)?;
    answer.remarks.extend(found.doubts.iter().map(doubted));
    answer.text = if output.json {
        pretty(&found.json())
    } else if csv {
        found.csv(output.units.into())
    } else {
        found.text(output.units.into())
    };
    Ok(answer)
}

fn plan(
    file: Option<&Path>,
    set: &[String],
    law: &ErrorLaw,
    output: &OutputArgs,
    csv: bool,
) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    if file.is_none() {
        answer
            .remarks
            .push("note: no file named, so this is the riser of an invented trial".to_owned());
    }
    let rig = open(file, set)?;
    let bench = rig.design.bench().map_err(|error| rig.failure(error))?;
    let found = PlanReport::of(&bench.with_law(law.clone()))?;
    answer.text = if output.json {
        pretty(&found.json())
    } else if csv {
        found.csv()
    } else {
        found.text(output.units.into())
    };
    Ok(answer)
}

struct Compare<'a> {
    sheet: Option<&'a Path>,
    rig: &'a RigArgs,
    output: &'a OutputArgs,
    csv: bool,
    pairs: Option<&'a Path>,
    svg: Option<&'a Path>,
    names: Option<(&'a str, &'a str)>,
    second_rig: Option<&'a Path>,
    air_tolerance: &'a str,
}

fn compare(asked: &Compare) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    needs_rig(asked.sheet, asked.rig)?;
    let matching = Matching {
        air_tolerance: share("--air-tolerance", asked.air_tolerance)?,
        ..Matching::default()
    };
    let rig = open(asked.rig.rig.as_deref(), &asked.rig.set)?;
    let spec = rig
        .design
        .movable_riser()
        .map_err(|error| rig.failure(error))?;
    let other = asked.second_rig.map(second_riser).transpose()?;
    let (runs, without) = reduced_runs(asked.sheet, &rig, &mut answer)?;
    answer.remarks.extend(configurations::remarks(&runs));
    let names = configurations::to_compare(&runs, asked.names)?;
    let riser = |configuration: &str| match (other, asked.names) {
        (Some(other), Some((_, second))) if same_configuration(configuration, second) => other,
        _ => spec,
    };
    let of_run = |run: &ReducedRun| riser(&run.configuration);
    let found = ComparisonReport::of(&runs, rig.design.model(), of_run, names, matching)?
        .with_no_flow(&without, |run| riser(&run.configuration))?;
    let units: Units = asked.output.units;
    if let Some(path) = asked.pairs {
        let table = found.pairs_csv(units.into()).ok_or_else(|| {
            let all = configurations::quoted(&configurations::all(&runs));
            Failure::Option {
                option: "--pairs",
                message: format!("name --first and --second; the sheet has {all}"),
            }
        })?;
        write(path, &table)?;
    }
    if let Some(path) = asked.svg {
        write(path, &found.chart(units.into()).svg()?)?;
    }
    answer.text = if asked.output.json {
        pretty(&found.json())
    } else if asked.csv {
        found.csv(units.into())
    } else {
        found.text(units.into())
    };
    Ok(answer)
}

struct Fit<'a> {
    sheet: Option<&'a Path>,
    rig: &'a RigArgs,
    configuration: Option<&'a str>,
    level: &'a str,
    save: Option<&'a Path>,
    output: &'a OutputArgs,
    svg: Option<&'a Path>,
}

fn fit(asked: &Fit) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    needs_rig(asked.sheet, asked.rig)?;
    let rig = open(asked.rig.rig.as_deref(), &asked.rig.set)?;
    let spec = rig
        .design
        .movable_riser()
        .map_err(|error| rig.failure(error))?;
    let (runs, without) = reduced_runs(asked.sheet, &rig, &mut answer)?;
    answer.remarks.extend(configurations::remarks(&runs));
    let name = configurations::to_fit(&runs, asked.configuration)?;
    let is_it = |configuration: &str| same_configuration(configuration, name);
    for run in without.iter().filter(|run| is_it(&run.configuration)) {
        let label = &run.label;
        let left_out = format!("note: run {label} is left out of the fit: no water came");
        answer.remarks.push(left_out);
    }
    let of_it = runs.iter().filter(|run| is_it(&run.configuration));
    let of_it: Vec<ReducedRun> = of_it.cloned().collect();
    let trial = Calibration::of_runs(&of_it, &spec)?;
    if let Some(path) = asked.save {
        let text = trial.file_text().map_err(|error| rig.failure(error))?;
        write(path, &text)?;
    }
    let law = ErrorLaw::default().with_level(share("--level", asked.level)?)?;
    let mut found = FitReport::of(trial, rig.design.model(), &law)?;
    if let Some(bench) = rig.bench() {
        found = found.with_bench(&bench)?;
    }
    let units: Units = asked.output.units;
    if let Some(path) = asked.svg {
        write(path, &found.figure(units.into())?.chart().svg()?)?;
    }
    if asked.output.json {
        answer.text = pretty(&found.json());
    } else {
        answer.text = format!("Runs of {name:?}\n\n{}", found.text(units.into()));
        let cautions = found.cautions.iter();
        answer
            .remarks
            .extend(cautions.map(|one| remark(one, units.into())));
    }
    Ok(answer)
}

fn second_riser(file: &Path) -> Result<RiserSpec, Failure> {
    let rig = open(Some(file), &[])?;
    rig.design
        .movable_riser()
        .map_err(|error| rig.failure(error))
}

fn needs_rig(sheet: Option<&Path>, rig: &RigArgs) -> Result<(), Failure> {
    if sheet.is_some() && rig.rig.is_none() {
        return Err(Failure::Option {
            option: "--rig",
            message: "name the design file of the riser that the sheet is of".to_owned(),
        });
    }
    Ok(())
}

fn runs(sheet: Option<&Path>, answer: &mut Answer) -> Result<Vec<Run>, Failure> {
    let read = if let Some(path) = sheet {
        read_sheet(path)
    } else {
        answer
            .remarks
            .push("note: no sheet named, so this is an invented trial".to_owned());
        parse_sheet(DEMO)
    };
    read.map_err(|error| Failure::Sheet {
        file: sheet.map(Path::to_owned),
        error,
    })
}

/// The runs of a sheet with the instruments of a rig: those in which water came, and the others.
fn reduced_runs(
    sheet: Option<&Path>,
    rig: &Rig,
    answer: &mut Answer,
) -> Result<(Vec<ReducedRun>, Vec<NoFlowRun>), Failure> {
    let (runs, kit) = (runs(sheet, answer)?, rig.design.instruments());
    let doubts = doubts(&runs, rig.bench().as_ref())?;
    answer.remarks.extend(doubts.iter().map(doubted));
    Ok((reduce(&runs, &kit)?, no_flow(&runs, &kit)?))
}

fn doubted(doubt: &Doubt) -> String {
    format!("caution: {doubt} [{}]", doubt.code())
}

/// The rig of a file, or of the invented trial.
fn open<'a>(file: Option<&'a Path>, set: &[String]) -> Result<Rig<'a>, Failure> {
    match file {
        Some(path) => {
            let text = read_text(path).map_err(|error| in_file(file, error))?;
            parse(file, &text, set)
        }
        None => parse(None, DEMO_RIG, set),
    }
}

fn parse<'a>(file: Option<&'a Path>, text: &str, set: &[String]) -> Result<Rig<'a>, Failure> {
    let design = Design::parse_with(text, set).map_err(|error| in_file(file, error))?;
    Ok(Rig { file, design })
}

fn in_file(file: Option<&Path>, error: FileError) -> Failure {
    Failure::Design {
        file: file.map(Path::to_owned),
        error,
    }
}

fn share(option: &'static str, text: &str) -> Result<Ratio, Failure> {
    quantity::ratio(text).map_err(|error| Failure::Option {
        option,
        message: error.to_string(),
    })
}
