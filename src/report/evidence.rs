//! How far predictions are from published experiments, as tables.

use super::{columns, table};
use crate::error::Error;
use crate::friction::Friction;
use crate::model::{DevelopingLength, Model};
use crate::published::{Class, Residual, Rig, Score};
use crate::slip::Slip;
use crate::units::{Length, meter};

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

/// The errors on each rig under every pair of closures, without a developing length and
/// with the default one.
///
/// # Errors
/// [`Error::NotConverged`], a defect.
pub fn closures() -> Result<String, Error> {
    let mut rows = (Vec::new(), Vec::new());
    for slip in Slip::ALL {
        for friction in Friction::ALL {
            let without = Length::new::<meter>(0.0).into();
            for (name, length) in [("none", without), ("default", DevelopingLength::default())] {
                let model = Model::new(*slip, *friction).with_developing_length(length);
                let scores = Rig::all()
                    .iter()
                    .map(|rig| Ok(Score::of(&rig.residuals(model)?)))
                    .collect::<Result<Vec<_>, Error>>()?;
                let cells = |of: &dyn Fn(&Score) -> String| {
                    let mut cells =
                        [slip.to_string(), friction.to_string(), name.to_owned()].to_vec();
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
    let mut header = vec![
        "slip".to_owned(),
        "friction".to_owned(),
        "developing".to_owned(),
    ];
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
