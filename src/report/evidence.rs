//! How far predictions are from published experiments, as tables.

use super::{columns, table};
use crate::error::Error;
use crate::friction::Friction;
use crate::model::Model;
use crate::published::{Class, Residual, Rig, Score};
use crate::slip::Slip;
use crate::units::{Ratio, meter, ratio};

/// How far a model is from each published rig.
///
/// # Errors
/// [`Error::OutOfRange`] for a developing length out of range.
pub fn evidence(model: Model) -> Result<String, Error> {
    let mut rows = Vec::new();
    for rig in Rig::all() {
        let score = Score::of(&rig.residuals(model)?);
        rows.push([
            rig.name.clone(),
            score.points.to_string(),
            format!("{:.0} %", 100.0 * score.within_20_percent),
            format!("{:.0} %", 100.0 * score.mean_absolute_error),
            format!("{:+.0} %", 100.0 * score.bias),
            format!("{:.3}", score.rms_log_error),
        ]);
    }
    let header = [
        "rig",
        "points",
        "within 20 %",
        "mean error",
        "bias",
        "rms log",
    ];
    Ok(format!("{model}\n\n{}", table(header, rows)))
}

/// How far a model is from the points of each rig by flow pattern, and from all points by flow pattern,
/// submergence ratio and length.
///
/// # Errors
/// [`Error::OutOfRange`] for a developing length out of range.
pub fn regimes(model: Model) -> Result<String, Error> {
    let mut rows = Vec::new();
    let mut everything = Vec::new();
    for rig in Rig::all() {
        let residuals = rig.residuals(model)?;
        rows.push(row(&rig.name, &Score::of(&residuals)));
        classes(Class::patterns(), &residuals, &mut rows);
        everything.extend(residuals);
    }
    rows.push(row("all rigs", &Score::of(&everything)));
    let all = Class::patterns()
        .chain(Class::submergence_ratios())
        .chain(Class::lengths());
    classes(all, &everything, &mut rows);
    let header = [
        "points",
        "number",
        "within 10 %",
        "within 20 %",
        "mean error",
        "bias",
        "rms log",
        "no flow",
    ];
    Ok(format!("{model}\n\n{}", table(header, rows)))
}

/// One row for each class that has points.
fn classes(all: impl Iterator<Item = Class>, residuals: &[Residual], rows: &mut Vec<[String; 8]>) {
    let scored = all.map(|class| (class, class.score(residuals)));
    rows.extend(
        scored
            .filter(|(_, score)| score.points > 0)
            .map(|(class, score)| row(&format!("- {class}"), &score)),
    );
}

fn row(name: &str, score: &Score) -> [String; 8] {
    [
        name.to_owned(),
        score.points.to_string(),
        format!("{:.0} %", 100.0 * score.within_10_percent),
        format!("{:.0} %", 100.0 * score.within_20_percent),
        format!("{:.0} %", 100.0 * score.mean_absolute_error),
        format!("{:+.0} %", 100.0 * score.bias),
        format!("{:.3}", score.rms_log_error),
        score.without_flow.to_string(),
    ]
}

/// Developing lengths that are compared: none, and the default.
const DEVELOPING_BORES: [f64; 2] = [0.0, Model::DEFAULT_DEVELOPING_LENGTH];

/// The errors on each rig under every pair of closures, without and with the developing length.
///
/// # Errors
/// [`Error::NotConverged`], a defect.
pub fn closures() -> Result<String, Error> {
    let mut rows = (Vec::new(), Vec::new());
    for slip in Slip::ALL {
        for friction in Friction::ALL {
            for bores in DEVELOPING_BORES {
                let model =
                    Model::new(*slip, *friction).with_developing_length(Ratio::new::<ratio>(bores));
                let scores = Rig::all()
                    .iter()
                    .map(|rig| Ok(Score::of(&rig.residuals(model)?)))
                    .collect::<Result<Vec<_>, Error>>()?;
                let cells = |of: &dyn Fn(&Score) -> String| {
                    let mut cells =
                        [slip.to_string(), friction.to_string(), bores.to_string()].to_vec();
                    cells.extend(scores.iter().map(of));
                    cells
                };
                rows.0.push(cells(&|score| {
                    format!(
                        "{:.0} %, {:+.0} %",
                        100.0 * score.within_20_percent,
                        100.0 * score.bias
                    )
                }));
                rows.1
                    .push(cells(&|score| format!("{:.3}", score.rms_log_error)));
            }
        }
    }
    let mut header = vec!["slip".to_owned(), "friction".to_owned(), "bores".to_owned()];
    header.extend(Rig::all().iter().map(|rig| {
        let author = rig.name.split(' ').next().unwrap_or_default();
        format!("{author} {} m", rig.length.get::<meter>())
    }));
    Ok(format!(
        "points within 20 %, and bias\n\n{}\nrms log\n\n{}",
        columns(&header, rows.0),
        columns(&header, rows.1)
    ))
}
