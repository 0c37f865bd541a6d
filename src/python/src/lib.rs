//! The library of risewater for Python: what `python/risewater/__init__.py` calls.
//!
//! Arguments are columns, by the names that [`Row::column`](risewater::keys::Row::column) gives; answers are columns, or JSON.

mod column;
mod fault;
mod sure;
mod watch;

use std::ops::ControlFlow;
use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};

use numpy::{IntoPyArray, PyReadonlyArray1};
use pyo3::prelude::*;
use pyo3::types::PyDict;
use rayon::prelude::*;
use risewater::answer::{Answer, FitAnswer, SizeAnswer, TrialAnswer, TrialTerms};
use risewater::design::DesignFile;
use risewater::report::what_to_change;
use risewater::sizing::size_watched;
use risewater::sweep::{Asked, Cells, Options};
use risewater::trial::{self, Instruments};
use risewater::{Calibration, keys};

use column::{Column, Question};
use fault::{Fault, Found};
use sure::Sure;
use watch::watched;

/// What Python imports.
#[pymodule]
mod _risewater {
    #[pymodule_export]
    use super::fault::Error;
    #[pymodule_export]
    use super::{fit, names, reduce, size, solve};
}

/// Every argument: its name, its key, and what it is.
#[pyfunction]
fn names() -> Vec<(String, &'static str, String)> {
    let rows = keys::SECTIONS.iter().flat_map(|section| section.keys);
    let mut all: Vec<(String, &str, String)> = Vec::new();
    for row in rows {
        let name = row.column();
        if all.iter().all(|(known, ..)| *known != name) {
            let words = format!("{}: {}", row.words, row.value_words());
            all.push((name, row.path, words.replace('`', "")));
        }
    }
    all
}

/// Columns by name, and of each error its first row and its exception.
type Columns = (Py<PyDict>, Vec<(u64, Py<PyAny>)>);

/// Solves rows side by side: `asked` is `flow`, `air_for` (with `wanted`) or `peak`.
#[pyfunction]
#[allow(clippy::too_many_arguments, reason = "Python gives each by itself")]
fn solve(
    py: Python<'_>,
    text: &str,
    folder: PathBuf,
    given: Vec<(String, Column<'_>)>,
    rows: u64,
    asked: &str,
    wanted: Option<PyReadonlyArray1<'_, f64>>,
    interval: bool,
    sure: (Option<f64>, Option<String>),
    threads: usize,
) -> PyResult<Columns> {
    let question = Question::of(given)?;
    let law = Sure::from(sure).law()?;
    let wanted = wanted
        .map(|all| all.as_array().to_vec())
        .unwrap_or_default();
    let asked = match asked {
        "air_for" => Asked::AirFor(&wanted),
        "peak" => Asked::Peak,
        _ => Asked::Flow,
    };
    let solved = watched(py, |stop| -> Found<_> {
        let needs_air = asked == Asked::Flow;
        let given = question.rows.into_iter();
        let given = given.map(|(row, given)| (row.path, given)).collect();
        let set = &question.set;
        let sweep = DesignFile::side_by_side(text, set, (rows, given), needs_air, &folder)?;
        let options = Options {
            threads,
            stop: Some(stop),
            ..Options::default()
        };
        let sweep = sweep.with_law(law).with_intervals(interval);
        Ok(sweep.solve(asked, &options)?)
    })??;
    let columns = PyDict::new(py);
    for (name, cells) in solved.columns {
        match cells {
            Cells::Numbers(all) => columns.set_item(name, all.into_pyarray(py))?,
            Cells::Names(names, places) => {
                columns.set_item(name, (names, places.into_pyarray(py)))?;
            }
        }
    }
    let refusals = solved.refusals.into_iter();
    let refusals = refusals.map(|one| (one.row, Fault::from(one.error).object(py)));
    Ok((columns.unbind(), refusals.collect()))
}

/// Searches for designs, a search a row: of each its answer as JSON, or the exception that says why there is none. Where `whole` is
/// false the answer is the best design alone.
#[pyfunction]
fn size(
    py: Python<'_>,
    text: &str,
    folder: PathBuf,
    given: Vec<(String, Column<'_>)>,
    rows: usize,
    whole: bool,
    sure: (Option<f64>, Option<String>),
) -> PyResult<Vec<Py<PyAny>>> {
    let question = Question::of(given)?;
    let law = Sure::from(sure).law()?;
    let one = |row: usize, stop: &AtomicBool| -> Found<String> {
        let read = DesignFile::parse_with(text, &question.replacements(row))?;
        let read = read.in_folder(&folder).with_law(law.clone());
        let problem = read.problem()?;
        let need = read.has_need().then(|| read.room_need()).transpose()?;
        let terms = read.terms(law.clone())?;
        let searched = size_watched(&problem, |_| {
            if stop.load(Ordering::Relaxed) {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        })?;
        let ControlFlow::Continue(found) = searched else {
            return Err(Fault::new("interrupted", "interrupted".to_owned()));
        };
        let detailed = if whole { usize::MAX } else { 1 };
        let answer = SizeAnswer::of(&problem, &found, detailed, &terms, need.as_ref())?;
        let Some(best) = answer.designs.first() else {
            let advice = what_to_change(&answer.rejected);
            return Err(Fault::new(
                "no_design",
                format!("no candidate meets the duty: {advice}"),
            ));
        };
        Ok(if whole {
            answer.json().to_string()
        } else {
            serde_json::to_string(best).unwrap_or_default()
        })
    };
    let found: Vec<Found<String>> = watched(py, |stop| {
        (0..rows)
            .into_par_iter()
            .map(|row| one(row, stop))
            .collect()
    })?;
    let object = |found: Found<String>| match found {
        Ok(json) => Ok(json.into_pyobject(py)?.into_any().unbind()),
        Err(fault) => Ok(fault.object(py)),
    };
    found.into_iter().map(object).collect()
}

/// The runs of a bench trial's sheet, reduced to flows: the answer as JSON.
#[pyfunction]
fn reduce(
    py: Python<'_>,
    rig: Option<&str>,
    given: Vec<(String, Column<'_>)>,
    sheet: &str,
    level: Option<f64>,
) -> PyResult<String> {
    let set = Question::of(given)?.set;
    let found = watched(py, |_| -> Found<String> {
        let rig = rig
            .map(|text| DesignFile::parse_with(text, &set))
            .transpose()?;
        let mut terms = TrialTerms::default();
        if let Some(level) = level {
            terms.level = sure::share(level);
        }
        if let Some(wanted) = rig.as_ref().and_then(DesignFile::wanted) {
            terms.wanted = wanted;
        }
        let kit = rig
            .as_ref()
            .map_or_else(Instruments::default, DesignFile::instruments);
        let bench = rig.as_ref().and_then(|rig| rig.bench().ok());
        let runs = trial::parse_runs(sheet)?;
        Ok(TrialAnswer::of(&runs, bench.as_ref(), &kit, terms)?
            .json()
            .to_string())
    })?;
    Ok(found?)
}

/// What a trial's sheet says of its riser: the answer as JSON, and the measured points as the text of a file.
#[pyfunction]
fn fit(
    py: Python<'_>,
    rig: &str,
    given: Vec<(String, Column<'_>)>,
    sheet: &str,
    configuration: Option<&str>,
    level: Option<f64>,
) -> PyResult<(String, String)> {
    let set = Question::of(given)?.set;
    let found = watched(py, |_| -> Found<(String, String)> {
        let rig = DesignFile::parse_with(rig, &set)?;
        let runs = trial::reduce(&trial::parse_runs(sheet)?, &rig.instruments())?;
        let names = runs.iter().map(|run| run.configuration.as_str());
        let name = trial::configuration(names, configuration)
            .map_err(|unnamed| Fault::new("option", unnamed.to_string()))?;
        let of_it = runs
            .iter()
            .filter(|run| trial::same_configuration(&run.configuration, name));
        let of_it: Vec<_> = of_it.cloned().collect();
        let points = Calibration::of_runs(&of_it, &rig.movable_riser()?)?;
        let text = points.file_text()?;
        let law = Sure::from((level, None)).law()?;
        let fit = trial::Fit::of(points, rig.model(), &law, rig.bench().ok().as_ref())?;
        Ok((FitAnswer::of(&fit).json().to_string(), text))
    })?;
    Ok(found?)
}
