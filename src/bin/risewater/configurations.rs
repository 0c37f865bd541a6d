//! The configurations of a sheet, and which of them a command is about.

use risewater::trial::{ReducedRun, configuration, configurations, same_configuration};

use crate::failure::Failure;

/// Every configuration of a sheet, in its order.
pub fn all(runs: &[ReducedRun]) -> Vec<&str> {
    configurations(runs.iter().map(|run| run.configuration.as_str()))
}

/// The configuration of a sheet that a name means.
fn known<'a>(all: &[&'a str], name: &str) -> Option<&'a str> {
    all.iter()
        .find(|known| same_configuration(known, name))
        .copied()
}

/// What to say of spellings of one configuration that differ.
pub fn remarks(runs: &[ReducedRun]) -> Vec<String> {
    let all = all(runs);
    let mut remarks = Vec::new();
    for run in runs {
        let name = &run.configuration;
        if let Some(known) = known(&all, name).filter(|known| known != name) {
            let remark = format!(
                "note: {name:?} is taken for {known:?}: letter case and spaces part no configurations"
            );
            if !remarks.contains(&remark) {
                remarks.push(remark);
            }
        }
    }
    remarks
}

pub fn quoted(names: &[&str]) -> String {
    let each: Vec<String> = names.iter().map(|name| format!("{name:?}")).collect();
    each.join(", ")
}

/// The configuration to fit: the one named, or the sheet's only one.
pub fn to_fit<'a>(runs: &'a [ReducedRun], named: Option<&str>) -> Result<&'a str, Failure> {
    let names = runs.iter().map(|run| run.configuration.as_str());
    configuration(names, named).map_err(|unnamed| Failure::Option {
        option: "--configuration",
        message: unnamed.to_string(),
    })
}

/// The two configurations to compare: those named, or the sheet's own when it has just two.
pub fn to_compare<'a>(
    runs: &'a [ReducedRun],
    named: Option<(&str, &str)>,
) -> Result<Option<[&'a str; 2]>, Failure> {
    let all = all(runs);
    let Some((first, second)) = named else {
        return Ok(match all[..] {
            [first, second] => Some([first, second]),
            _ => None,
        });
    };
    let of_sheet = |option, name: &str| {
        known(&all, name).ok_or_else(|| Failure::Option {
            option,
            message: format!(
                "{name:?} is no configuration of the sheet; it has {}",
                quoted(&all)
            ),
        })
    };
    let (first, second) = (of_sheet("--first", first)?, of_sheet("--second", second)?);
    if first == second {
        return Err(Failure::Option {
            option: "--second",
            message: "this is the first configuration itself; name another".to_owned(),
        });
    }
    Ok(Some([first, second]))
}
