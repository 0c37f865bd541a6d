//! How far predictions are from published experiments, as tables.

use super::columns;
use crate::error::Error;
use crate::friction::Friction;
use crate::model::{DevelopingLength, Model};
use crate::published::{Known, Tally};
use crate::published::{Rig, Score};
use crate::riser::InjectorKind;
use crate::slip::Slip;
use crate::units::{Length, meter};

/// Level of the intervals.
const LEVEL: f64 = 0.8;
/// Known points of a series.
const KNOWN: [usize; 5] = [0, 1, 2, 3, 5];
/// Those from which other depths are told.
const OTHERS_AFTER: usize = 3;

/// What [`AQUARIUM_RINGS`](crate::references::AQUARIUM_RINGS) and [`KASSAB_2022`](crate::references::KASSAB_2022)
/// say, and what the law makes of it.
const INJECTORS: &str = "\
What another injector changes is hardly known. A posted test of an aquarium's lift (17 mm,
0.3 m; second hand): one, two or three rings of 25 holes of 1.4 mm give the same water at
100 L/h of air; at 150 L/h one ring gives 13 % less. Kassab and others (2022, abstract):
823 or 928 kg/h of water at most, with a narrow or a wide injector. No test of a diffuser.
So an open tube or a diffuser, where a file says one, widens the interval (0.14 of ln q).
";

/// How far a model is from each published rig before and after measured points of a series, by the law of
/// error.
///
/// # Errors
/// [`Error::NotConverged`], a defect.
pub fn evidence(model: Model) -> Result<String, Error> {
    let mut rows = (Vec::new(), Vec::new());
    for rig in Rig::all() {
        let series = rig.series(model)?;
        let all = KNOWN.map(|known| Known::points(&series, known));
        let all = all.into_iter().collect::<Result<Vec<_>, Error>>()?;
        let others = Known::points(&series, OTHERS_AFTER)?.other_depths;
        let tallies = all.iter().map(|one| &one.rest).chain([&others]);
        let points: usize = series.iter().map(Vec::len).sum();
        let cells = |of: &dyn Fn(&Tally) -> String| {
            let mut cells = vec![rig.name.clone(), points.to_string()];
            cells.extend(tallies.clone().map(of));
            cells
        };
        let percent = |share: f64, digits| format!("{:.digits$} %", 100.0 * share);
        rows.0.push(cells(&|tally| percent(tally.mean_error(), 1)));
        rows.1.push(cells(&|tally| percent(tally.inside(LEVEL), 0)));
    }
    let injectors = Rig::all().iter().map(|rig| {
        let (kind, holes) = rig.injector.unzip();
        let kind = kind.map_or("not stated", InjectorKind::name);
        [
            rig.name.clone(),
            kind.to_owned(),
            holes.unwrap_or_default().to_owned(),
        ]
        .to_vec()
    });
    let injectors = columns(
        &["rig", "injector", "in the riser's wall"].map(str::to_owned),
        injectors,
    );
    let mut header = vec!["rig".to_owned(), "points".to_owned()];
    header.extend(KNOWN.map(|known| format!("{known} known")));
    header.push(format!("other depths, {OTHERS_AFTER} known"));
    let level = 100.0 * LEVEL;
    Ok(format!(
        "{model}\n\nmean error of the rest of a series, some of its points known\n\n{}\nreadings inside the {level:.0} % interval\n\n{}\nhow the air got in\n\n{injectors}\n{INJECTORS}",
        columns(&header, rows.0),
        columns(&header, rows.1)
    ))
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
                        "{:.0} % {:+.0}",
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
        "length".to_owned(),
    ];
    header.extend(Rig::all().iter().map(|rig| {
        let author = rig.name.split(' ').next().unwrap_or_default();
        format!("{author} {} m", rig.length.get::<meter>())
    }));
    Ok(format!(
        "points within 20 %, and bias in per cent; length is the developing length\n\n{}\nrms log\n\n{}",
        columns(&header, rows.0),
        columns(&header, rows.1)
    ))
}
