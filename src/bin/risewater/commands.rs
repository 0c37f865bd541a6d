//! What each command does: read, ask the library, format.

use std::borrow::Cow;
use std::path::{Path, PathBuf};

use clap::CommandFactory;
use risewater::answer::{
    self, Answer as _, CheckAnswer, CurveAnswer, CurveTerms, FlowAnswer, KeysAnswer, SHAPES,
};
use risewater::design::{
    DesignFile, EXAMPLE, EXISTING_EXAMPLE, FileError, LOOP_EXAMPLE, NEED_EXAMPLE, SUPPLY_EXAMPLE,
    TANKS_EXAMPLE, read_text,
};
use risewater::error::Input;
use risewater::report::{self, UnitSystem};
use risewater::riser::{SUBMERGENCE, WATER_FLOW};
use risewater::sizing::LEVEL_CHANGE;
use risewater::uncertainty::{Predictor, Wanted};
use risewater::units::{Length, VolumeRate, liter_per_minute, meter, quantity};
use risewater::{Caution, Model};

use crate::args::{
    By, Command, DESIGN, DesignArgs, Example, Listed, OutputArgs, SureArgs, Tool, Units, shapes,
};
use crate::failure::Failure;
use crate::size::View;
use crate::{manual, sure as how_sure};

/// What a command prints: the result, and remarks for stderr.
#[derive(Debug, Default)]
pub struct Answer {
    pub text: String,
    pub remarks: Vec<String>,
}

impl Answer {
    /// With an answer of the library: as JSON, or as text with what it should be read with.
    pub fn with<'a>(
        mut self,
        found: &impl answer::Answer,
        output: &OutputArgs,
        cautions: impl IntoIterator<Item = &'a Caution>,
        text: impl FnOnce(UnitSystem) -> String,
    ) -> Self {
        if output.json {
            self.text = pretty(&found.json());
        } else {
            let units = output.units.into();
            self.text = text(units);
            let lines = report::caution_lines(cautions, units, output.verbose);
            self.remarks.extend(lines);
        }
        self
    }

    /// The same with cautions that are of parts, which their names lead.
    pub fn with_named(
        self,
        found: &impl answer::Answer,
        output: &OutputArgs,
        told: Vec<(Vec<&str>, &Caution)>,
        text: impl FnOnce(UnitSystem) -> String,
    ) -> Self {
        let (of_all, of_some): (Vec<_>, Vec<_>) =
            told.into_iter().partition(|(parts, _)| parts.is_empty());
        let mut answer = self.with(found, output, [], text);
        if !output.json {
            let units = output.units.into();
            let named = of_some.iter().map(|(parts, one)| {
                let line = report::caution_lines([*one], units, true).concat();
                line.replacen("caution: ", &format!("caution: {}: ", parts.join(", ")), 1)
            });
            answer.remarks.extend(named);
            let of_all = of_all.into_iter().map(|(_, one)| one);
            let lines = report::caution_lines(of_all, units, output.verbose);
            answer.remarks.extend(lines);
        }
        answer
    }
}

/// Points of a curve that is drawn.
pub const DRAWN_POINTS: usize = 64;

/// Runs a command.
#[allow(clippy::too_many_lines, reason = "one arm a command")]
pub fn run(command: Command) -> Result<Answer, Failure> {
    match command {
        Command::Size {
            design,
            sure,
            output,
            csv,
            top,
            map,
            svg,
        } => {
            let view = match (csv, map) {
                (true, _) => View::Table,
                (_, true) => View::Map,
                _ => View::Best(top),
            };
            crate::size::run(&design, &sure, &output, view, svg.as_deref())
        }
        Command::Flow {
            design,
            sure,
            output,
            profile,
            csv,
            svg,
            want,
            by,
        } => {
            let shown = Shown { profile, csv, svg };
            flow(&design, &sure, &output, &shown, (want.as_deref(), by))
        }
        Command::Curve {
            design,
            sure,
            output,
            csv,
            points,
            svg,
            want,
            levels,
        } => curve(
            &design,
            &sure,
            &output,
            csv,
            usize::from(points),
            svg.as_deref(),
            want.as_deref(),
            levels.as_deref(),
        ),
        Command::Sweep {
            design,
            sweep,
            sure,
            output,
        } => crate::sweep::run(&design, &sure, &output, &sweep),
        Command::Supply {
            design,
            sure,
            output,
            csv,
            svg,
            html,
            build_page,
        } => {
            let files = [&svg, &html, &build_page].map(Option::as_deref);
            crate::supply::run(&design, &sure, &output, csv, files)
        }
        Command::Existing {
            design,
            sure,
            output,
            csv,
            svg,
        } => crate::existing::run(&design, &sure, &output, csv, svg.as_deref()),
        Command::Loop {
            design,
            sure,
            output,
            csv,
            svg,
            html,
        } => {
            let files = [&svg, &html].map(Option::as_deref);
            crate::loops::run(&design, &sure, &output, csv, files)
        }
        Command::Need {
            design,
            output,
            csv,
            svg,
        } => crate::need::run(&design, &output, csv, svg.as_deref()),
        Command::Trial(trial) => crate::trial::run(&trial),
        Command::Check { design, json } => check(&design, json),
        Command::List {
            what,
            section,
            json,
            units,
        } => list(what, section.as_deref(), json, units.into()),
        Command::Schema {
            into: Some(folder), ..
        } => schemas(&folder).map(Into::into),
        Command::Schema { name, .. } => Ok(schema(name.as_deref()).into()),
        Command::Example { what } => Ok(match what {
            Example::Size => EXAMPLE,
            Example::Supply => SUPPLY_EXAMPLE,
            Example::Existing => EXISTING_EXAMPLE,
            Example::Blower => risewater::supply::blower::DEMO,
            Example::Tanks => TANKS_EXAMPLE,
            Example::Need => NEED_EXAMPLE,
            Example::Loop => LOOP_EXAMPLE,
            Example::Crop => risewater::need::DEMO,
            Example::Aeration => risewater::design::AERATION_EXAMPLE,
            Example::Readings => risewater::gas::aeration::DEMO_READINGS,
        }
        .to_owned()
        .into()),
        Command::Completions { shell } => {
            let mut script = Vec::new();
            clap_complete::generate(shell, &mut Tool::command(), "risewater", &mut script);
            Ok(String::from_utf8_lossy(&script).into_owned().into())
        }
        Command::Man {
            dir: Some(directory),
            ..
        } => manual::pages(&directory),
        Command::Man { command, .. } => manual::page(&command),
    }
}

/// What `flow` shows besides the answer.
struct Shown {
    profile: bool,
    csv: bool,
    svg: Option<PathBuf>,
}

fn flow(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    shown: &Shown,
    (want, by): (Option<&str>, By),
) -> Result<Answer, Failure> {
    let (read, answer) = open(design)?;
    let in_file = |error| in_design(design, error);
    let law = how_sure::law(sure)?;
    let (riser, air) = match (want, by) {
        (None, _) => read.riser_and_air().map_err(in_file)?,
        (Some(text), By::Air) => {
            let riser = read.riser().map_err(in_file)?;
            let point = law.on(&riser)?.air_for(wanted(text)?, Wanted::Predicted)?;
            (riser, point.air)
        }
        (Some(text), By::Submergence) => {
            let (riser, air) = read.riser_and_air().map_err(in_file)?;
            let deepest = Length::new::<meter>(SUBMERGENCE.max);
            let there = Predictor::deepened(&law, &riser, (wanted(text)?, air), deepest)?;
            (*there.riser(), air)
        }
    };
    let mut terms = read.terms(law).map_err(in_file)?;
    if let Some(path) = &shown.svg {
        terms.profile = true;
        let drawn = FlowAnswer::of(&riser, air, &terms)?;
        let units = output.units.into();
        write(
            path,
            &if shown.profile {
                drawn.profile_figure(units).svg()?
            } else {
                drawn.drawing(units).svg()?
            },
        )?;
    }
    terms.profile = shown.profile;
    let found = FlowAnswer::of(&riser, air, &terms)?;
    let text = |units| match (shown.profile, shown.csv) {
        (_, true) => found.profile_csv(units),
        (true, false) => found.text(units) + &found.profile_text(units),
        _ => found.text(units),
    };
    Ok(answer.with(&found, output, &found.cautions, text))
}

#[allow(
    clippy::too_many_arguments,
    reason = "the options of the command, each once"
)]
fn curve(
    design: &DesignArgs,
    sure: &SureArgs,
    output: &OutputArgs,
    csv: bool,
    points: usize,
    svg: Option<&Path>,
    want: Option<&str>,
    levels: Option<&str>,
) -> Result<Answer, Failure> {
    let (read, answer) = open(design)?;
    let law = how_sure::law(sure)?;
    let in_file = |error| in_design(design, error);
    let riser = read.riser().map_err(in_file)?;
    let wanted = want.map(wanted).transpose()?;
    let mut levels = match levels {
        Some("") => of_file(&read.levels().map_err(in_file)?)?,
        Some(text) => level_changes(text)?,
        None => Vec::new(),
    };
    if !levels.is_empty() {
        levels.push(Length::default());
        levels.sort_by(|a, b| a.value.total_cmp(&b.value));
        levels.dedup();
    }
    // An air flow is not asked for: where the file has one, it tells more.
    let has_air = !levels.is_empty() && read.has_air_flow();
    let air = has_air.then(|| read.air()).transpose().map_err(in_file)?;
    let terms = read.terms(law).map_err(in_file)?;
    let solved = |points| {
        let asked = CurveTerms {
            points,
            wanted,
            levels: &levels,
            air,
        };
        CurveAnswer::of(&riser, &asked, &terms)
    };
    let found = solved(points)?;
    if let Some(path) = svg {
        let drawn = solved(points.max(DRAWN_POINTS))?;
        write(path, &drawn.figure(output.units.into()).chart().svg()?)?;
    }
    let text = |units| {
        if csv {
            found.csv(units)
        } else {
            found.text(units)
        }
    };
    Ok(answer.with(&found, output, &found.cautions, text))
}

fn check(design: &DesignArgs, json: bool) -> Result<Answer, Failure> {
    let (read, mut answer) = open(design)?;
    read.check().map_err(|error| in_design(design, error))?;
    let file = design.file.as_ref().map(|file| file.display().to_string());
    if json {
        let faults = Vec::new();
        answer.text = pretty(&CheckAnswer { file, faults }.json());
        return Ok(answer);
    }
    let name = file.unwrap_or_else(|| "the embedded example".to_owned());
    Ok(Answer {
        text: format!("{name}: nothing wrong found\n"),
        ..answer
    })
}

fn list(
    what: Listed,
    section: Option<&str>,
    json: bool,
    units: UnitSystem,
) -> Result<Answer, Failure> {
    if what != Listed::Keys && (json || section.is_some()) {
        return Err(Failure::Option {
            option: if json { "--json" } else { "SECTION" },
            message: "it goes with `risewater list keys` alone".to_owned(),
        });
    }
    let text = match what {
        Listed::Pipes => report::pipes(units),
        Listed::Models => report::models(units),
        Listed::Sources => report::sources(),
        Listed::Keys if json => return Ok(pretty(&KeysAnswer::of(section).json()).into()),
        Listed::Keys => report::keys(section),
        Listed::Units => report::units(),
        Listed::States => report::states(units),
        Listed::Losses => report::losses(),
        Listed::Fittings => report::fittings(),
        Listed::Needs => report::needs(),
        Listed::Evidence => report::evidence(Model::default())?,
        Listed::Closures => report::closures()?,
        Listed::Memory => report::memory(),
    };
    Ok(report::wrapped(&text).into())
}

/// The shape of an answer, or the names of all.
fn schema(name: Option<&str>) -> String {
    let shape = SHAPES.iter().find(|(known, _)| Some(*known) == name);
    match (name, shape) {
        (Some(DESIGN), _) => pretty(&report::design_schema()),
        (_, Some((_, shape))) => pretty(shape().as_value()),
        _ => shapes().map(|name| format!("{name}\n")).collect(),
    }
}

/// Every shape in a file of its own, whose name has the shape's number; the design file's has the version of the tool.
fn schemas(folder: &Path) -> Result<String, Failure> {
    let design = format!("design-{}", env!("CARGO_PKG_VERSION"));
    let mut files = vec![(design, pretty(&report::design_schema()))];
    for (name, shape) in SHAPES {
        let shape = shape();
        let named = shape.as_value()["properties"]["schema"]["const"].as_str();
        let number = named.and_then(|named| named.rsplit_once('/'));
        let number = number.map_or("", |(_, number)| number);
        files.push((format!("{name}-{number}"), pretty(shape.as_value())));
    }
    let mut written = String::new();
    for (name, text) in files {
        let path = folder.join(format!("{name}.schema.json"));
        write(&path, &text)?;
        written += &format!("{}\n", path.display());
    }
    Ok(written)
}

/// The design file, or the embedded example with a remark.
pub fn open(design: &DesignArgs) -> Result<(DesignFile, Answer), Failure> {
    open_or(design, EXAMPLE)
}

/// The same with another example.
pub fn open_or(design: &DesignArgs, example: &str) -> Result<(DesignFile, Answer), Failure> {
    let (text, answer) = text_or(design, example)?;
    let read =
        DesignFile::parse_with(&text, &design.set).map_err(|error| in_design(design, error))?;
    let folder = design.file.as_deref().and_then(Path::parent);
    Ok((read.in_folder(folder.unwrap_or(Path::new(""))), answer))
}

/// The text of the design file, or of an example with a remark.
pub fn text_or(design: &DesignArgs, example: &str) -> Result<(String, Answer), Failure> {
    let mut answer = Answer::default();
    let text = if let Some(path) = &design.file {
        read_text(path).map_err(|error| in_design(design, error))?
    } else {
        answer.remarks.push(
            "note: no file named, so this is the embedded example of an invented hatchery"
                .to_owned(),
        );
        example.to_owned()
    };
    Ok((text, answer))
}

/// Headline of a page: the name of the file.
pub fn title(design: &DesignArgs) -> Cow<'_, str> {
    let name = design.file.as_deref().and_then(Path::file_stem);
    name.map_or("An invented hatchery".into(), |name| name.to_string_lossy())
}

pub fn in_design(design: &DesignArgs, error: FileError) -> Failure {
    Failure::Design {
        file: design.file.clone(),
        error,
    }
}

fn wanted(text: &str) -> Result<VolumeRate, Failure> {
    let failed = |message| Failure::Option {
        option: "--want",
        message,
    };
    let flow = quantity::volume_rate(text).map_err(|error| failed(error.to_string()))?;
    WATER_FLOW
        .check(Input::WaterFlow, flow.get::<liter_per_minute>())
        .map_err(|error| failed(error.to_string()))?;
    Ok(flow)
}

/// The file's own levels, low and high, as far as they differ from the normal one.
fn of_file(levels: &[Length]) -> Result<Vec<Length>, Failure> {
    if levels.is_empty() {
        return Err(Failure::Option {
            option: "--levels",
            message: "the file has no tank.level_fall and no tank.level_rise; give changes, such as --levels=\"-20 cm,10 cm\"".to_owned(),
        });
    }
    Ok(levels.to_vec())
}

/// Changes of a water level, apart by commas.
fn level_changes(text: &str) -> Result<Vec<Length>, Failure> {
    let failed = |message| Failure::Option {
        option: "--levels",
        message,
    };
    let changes = text.split(',').map(|part| {
        let change = quantity::length(part).map_err(|error| failed(error.to_string()))?;
        let (way, far) = match change.get::<meter>() {
            fall if fall < 0.0 => (Input::LowWater, -fall),
            rise => (Input::HighWater, rise),
        };
        LEVEL_CHANGE
            .check(way, far)
            .map_err(|error| failed(error.to_string()))?;
        Ok(change)
    });
    changes.collect()
}

/// Sections that each command leaves to others without a word: of one riser's air and of bench trials.
const OF_OTHERS: [&str; 2] = ["air", "trial"];

/// The sections of a file that a command leaves unread, each with a command that reads it.
pub fn unread(read: &DesignFile, reads: &[&str]) -> Option<String> {
    let left = |name: &&str| !reads.contains(name) && !OF_OTHERS.contains(name);
    let mut by_reader: Vec<(&str, Vec<String>)> = Vec::new();
    for section in read.sections().filter(|section| left(&section.name)) {
        let reader = match section.name {
            "need" | "rearing_tank" => "need",
            "loop" | "filter" | "timer" => "loop",
            "duty" | "limits" => "size",
            "aeration" => "trial aeration",
            _ => "supply",
        };
        match by_reader.iter_mut().find(|(known, _)| *known == reader) {
            Some((_, titles)) => titles.push(section.title()),
            None => by_reader.push((reader, vec![section.title()])),
        }
    }
    let parts = by_reader
        .iter()
        .map(|(reader, titles)| format!("{} (risewater {reader})", titles.join(", ")));
    let parts: Vec<String> = parts.collect();
    (!parts.is_empty()).then(|| format!("note: not read here: {}", parts.join("; ")))
}

pub fn pretty(value: &serde_json::Value) -> String {
    format!("{value:#}\n")
}

/// Writes a file whole or not at all.
pub fn write(path: &Path, text: &str) -> Result<(), Failure> {
    risewater::file::write(path, text).map_err(|error| Failure::Write {
        path: path.to_owned(),
        kind: error.kind(),
    })
}

impl From<String> for Answer {
    fn from(text: String) -> Self {
        Self {
            text,
            remarks: Vec::new(),
        }
    }
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
        }
    }
}
