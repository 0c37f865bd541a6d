//! `risewater trial`: the bench.

use std::path::Path;

use risewater::answer::{ComparisonAnswer, FitAnswer, PlanAnswer, TrialAnswer, TrialTerms};
use risewater::design::{DesignFile, EXAMPLE, FileError, SUPPLY_EXAMPLE, read_text};
use risewater::sizing::size;
use risewater::supply::blower;
use risewater::trial::{
    self, Bench, DEMO, DEMO_RIG, Doubtful, Instruments, Matching, NoFlowRun, ReducedRun, Run,
    doubts, no_flow, parse_runs, read_runs, reduce, same_configuration,
};
use risewater::{Calibration, ErrorLaw, RiserSpec};

use crate::args::DesignArgs;
use crate::commands::{Answer, in_design, open_or, write};
use crate::configurations;
use crate::failure::Failure;
use crate::sure::{law, share};
use crate::trial_args::{Compare, Fit, Plan, Reduce, RigArgs, Trial};

/// A rig, with the file that it is of.
struct Rig<'a> {
    file: Option<&'a Path>,
    design: DesignFile,
}

impl Rig<'_> {
    fn failure(&self, error: FileError) -> Failure {
        in_file(self.file, error)
    }

    /// What its file plans; none where it plans nothing.
    fn bench(&self) -> Option<Bench> {
        self.design.bench().ok()
    }

    fn riser(&self) -> Result<RiserSpec, Failure> {
        let spec = self.design.movable_riser();
        spec.map_err(|error| self.failure(error))
    }
}

/// Runs a command of the bench.
pub fn run(trial: &Trial) -> Result<Answer, Failure> {
    match trial {
        Trial::Reduce(asked) => reduced(asked),
        Trial::Plan(asked) => plan(asked),
        Trial::Compare(asked) => compare(asked),
        Trial::Fit(asked) => fit(asked),
        Trial::Aeration(asked) => crate::aeration::run(asked),
        Trial::Demo { rig } => Ok(if *rig { DEMO_RIG } else { DEMO }.to_owned().into()),
    }
}

fn reduced(asked: &Reduce) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    let (sheet, set) = (asked.sheet.as_deref(), &asked.rig.set);
    let mut terms = TrialTerms {
        level: share("--level", &asked.level)?,
        ..TrialTerms::default()
    };
    // The readings of a sheet need no riser: the usual instruments will do.
    let rig = match (&asked.rig.rig, sheet) {
        (Some(file), _) => Some(open(Some(file), set)?),
        (None, None) => Some(open(None, set)?),
        (None, Some(_)) if set.is_empty() => None,
        (None, Some(_)) => Some(parse(None, "", set)?),
    };
    let runs = runs(sheet, &mut answer)?;
    let bench = rig.as_ref().and_then(Rig::bench);
    let mut instruments = Instruments::default();
    if let Some(rig) = &rig {
        instruments = rig.design.instruments();
        terms.wanted = rig.design.wanted().unwrap_or(terms.wanted);
    }
    let found = TrialAnswer::of(&runs, bench.as_ref(), &instruments, terms)?;
    answer.remarks.extend(found.cautions.iter().map(doubted));
    let text = |units| {
        if asked.csv {
            found.csv(units)
        } else {
            found.text(units)
        }
    };
    Ok(answer.with(&found, &asked.output, [], text))
}

fn plan(asked: &Plan) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    let law = law(&asked.sure)?;
    let bench = if asked.design.is_some() || asked.lift.is_some() {
        lift_bench(asked, &law, &mut answer)?
    } else {
        let file = asked.rig.as_deref();
        if file.is_none() {
            answer
                .remarks
                .push("note: no file named, so this is the riser of an invented trial".to_owned());
        }
        let rig = open(file, &asked.set)?;
        rig.design.bench().map_err(|error| rig.failure(error))?
    };
    let bench = bench.with_law(law).with_units(asked.output.units.into());
    let plan = bench.plan()?;
    let found = PlanAnswer::of(&plan);
    let text = |units| {
        if asked.csv {
            plan.blank_sheet()
        } else {
            found.text(units)
        }
    };
    Ok(answer.with(&found, &asked.output, &found.cautions, text))
}

/// The bench for a design of a search, or for a lift on a header.
fn lift_bench(asked: &Plan, law: &ErrorLaw, answer: &mut Answer) -> Result<Bench, Failure> {
    let named = DesignArgs {
        file: asked.rig.clone(),
        set: asked.set.clone(),
    };
    let in_file = |error| in_design(&named, error);
    let example = if asked.lift.is_some() {
        SUPPLY_EXAMPLE
    } else {
        EXAMPLE
    };
    let (read, opened) = open_or(&named, example)?;
    answer.remarks.extend(opened.remarks);
    let mut read = read.with_law(law.clone());
    if let Some(name) = &asked.lift {
        if named.file.is_none() {
            read = read.with_blower_table(blower::DEMO);
        }
        let plant = read.supply().map_err(in_file)?.plant;
        let branches = &plant.manifold.header().branches;
        let Some(n) = branches.iter().position(|branch| branch.name == *name) else {
            let all: Vec<&str> = branches.iter().map(|branch| branch.name.as_str()).collect();
            return Err(Failure::Option {
                option: "--lift",
                message: format!("there is no lift {name:?}; there are {}", all.join(", ")),
            });
        };
        let (riser, air) = (&plant.manifold.risers()[n], plant.design[n]);
        return read.bench_for(riser, air).map_err(in_file);
    }
    let found = size(&read.problem().map_err(in_file)?)?;
    let number = asked
        .design
        .map_or(1, |n| usize::try_from(n).unwrap_or(usize::MAX));
    let Some(design) = found.designs.get(number - 1) else {
        return Err(Failure::Option {
            option: "--design",
            message: format!(
                "there is no design {number}: `risewater size` finds {}",
                found.designs.len()
            ),
        });
    };
    let bench = read.bench_for(&design.riser, design.point.air);
    bench.map_err(in_file)
}

fn compare(asked: &Compare) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    let sheet = asked.sheet.as_deref();
    needs_rig(sheet, &asked.rig)?;
    let matching = Matching {
        air_tolerance: share("--air-tolerance", &asked.air_tolerance)?,
        ..Matching::default()
    };
    let rig = open(asked.rig.rig.as_deref(), &asked.rig.set)?;
    let spec = rig.riser()?;
    let other = asked.second_rig.as_deref().map(second_riser).transpose()?;
    let (runs, without) = reduced_runs(sheet, &rig, rig.bench().as_ref(), &mut answer)?;
    answer.remarks.extend(configurations::remarks(&runs));
    let asked_names = asked.first.as_deref().zip(asked.second.as_deref());
    let names = configurations::to_compare(&runs, asked_names)?;
    let riser = |configuration: &str| match (other, asked_names) {
        (Some(other), Some((_, second))) if same_configuration(configuration, second) => other,
        _ => spec,
    };
    let model = rig.design.model();
    let found = ComparisonAnswer::of((&runs, &without), model, riser, names, matching)?;
    let units = asked.output.units.into();
    if let Some(path) = &asked.pairs {
        let table = found.pairs_csv(units).ok_or_else(|| {
            let all = configurations::quoted(&configurations::all(&runs));
            Failure::Option {
                option: "--pairs",
                message: format!("name --first and --second; the sheet has {all}"),
            }
        })?;
        write(path, &table)?;
    }
    if let Some(path) = &asked.svg {
        write(path, &found.chart(units).svg()?)?;
    }
    let text = |units| {
        if asked.csv {
            found.csv(units)
        } else {
            found.text(units)
        }
    };
    Ok(answer.with(&found, &asked.output, [], text))
}

fn fit(asked: &Fit) -> Result<Answer, Failure> {
    let mut answer = Answer::default();
    let sheet = asked.sheet.as_deref();
    needs_rig(sheet, &asked.rig)?;
    let rig = open(asked.rig.rig.as_deref(), &asked.rig.set)?;
    let spec = rig.riser()?;
    let bench = rig.bench();
    let (runs, without) = reduced_runs(sheet, &rig, bench.as_ref(), &mut answer)?;
    answer.remarks.extend(configurations::remarks(&runs));
    let name = configurations::to_fit(&runs, asked.configuration.as_deref())?;
    let is_it = |configuration: &str| same_configuration(configuration, name);
    for run in without.iter().filter(|run| is_it(&run.configuration)) {
        let label = &run.label;
        let left_out = format!("note: run {label} is left out of the fit: no water came");
        answer.remarks.push(left_out);
    }
    let of_it = runs.iter().filter(|run| is_it(&run.configuration));
    let of_it: Vec<ReducedRun> = of_it.cloned().collect();
    let trial = Calibration::of_runs(&of_it, &spec)?;
    if let Some(path) = &asked.save {
        let text = trial.file_text().map_err(|error| rig.failure(error))?;
        write(path, &text)?;
    }
    let law = ErrorLaw::default().with_level(share("--level", &asked.level)?)?;
    let fit = trial::Fit::of(trial, rig.design.model(), &law, bench.as_ref())?;
    let (found, units) = (FitAnswer::of(&fit), asked.output.units.into());
    if let Some(path) = &asked.svg {
        write(path, &fit.figure(units)?.chart().svg()?)?;
    }
    let of = if name.is_empty() {
        String::new()
    } else {
        format!("Runs of {name:?}\n\n")
    };
    let text = |units| format!("{of}{}", found.text(units));
    Ok(answer.with(&found, &asked.output, &found.cautions, text))
}

fn second_riser(file: &Path) -> Result<RiserSpec, Failure> {
    open(Some(file), &[])?.riser()
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
        read_runs(path)
    } else {
        answer
            .remarks
            .push("note: no sheet named, so this is an invented trial".to_owned());
        parse_runs(DEMO)
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
    bench: Option<&Bench>,
    answer: &mut Answer,
) -> Result<(Vec<ReducedRun>, Vec<NoFlowRun>), Failure> {
    let (runs, kit) = (runs(sheet, answer)?, rig.design.instruments());
    let doubts = doubts(&runs, bench)?;
    answer.remarks.extend(doubts.iter().map(doubted));
    Ok((reduce(&runs, &kit)?, no_flow(&runs, &kit)?))
}

fn doubted(doubt: &Doubtful) -> String {
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
    let design = DesignFile::parse_with(text, set).map_err(|error| in_file(file, error))?;
    Ok(Rig { file, design })
}

fn in_file(file: Option<&Path>, error: FileError) -> Failure {
    Failure::Design {
        file: file.map(Path::to_owned),
        error,
    }
}
