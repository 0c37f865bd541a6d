//! The configurations of a sheet, and which of them a command is about.

use risewater::trial::ReducedRun;

use crate::failure::Failure;

/// Every configuration of a sheet, in its order.
pub fn all(runs: &[ReducedRun]) -> Vec<&str> {
    let mut all: Vec<&str> = Vec::new();
    for run in runs {
        if !all.contains(&run.configuration.as_str()) {
            all.push(&run.configuration);
        }
    }
    all
}

pub fn quoted(names: &[&str]) -> String {
    let each: Vec<String> = names.iter().map(|name| format!("{name:?}")).collect();
    each.join(", ")
}

/// The configuration to fit: the one named, or the sheet's only one.
pub fn to_fit<'a>(runs: &'a [ReducedRun], named: Option<&'a str>) -> Result<&'a str, Failure> {
    let all = all(runs);
    match (named, &all[..]) {
        (Some(name), all) if all.contains(&name) => Ok(name),
        (None, [only]) => Ok(only),
        _ => Err(Failure::Option {
            option: "--configuration",
            message: format!(
                "name one configuration of the sheet; it has {}",
                quoted(&all)
            ),
        }),
    }
}

/// The two configurations to compare: those named, or the sheet's own when it has just two.
pub fn to_compare<'a>(
    runs: &'a [ReducedRun],
    named: Option<(&'a str, &'a str)>,
) -> Result<Option<[&'a str; 2]>, Failure> {
    let all = all(runs);
    let Some((first, second)) = named else {
        return Ok(match all[..] {
            [first, second] => Some([first, second]),
            _ => None,
        });
    };
    for (option, name) in [("--first", first), ("--second", second)] {
        if !all.contains(&name) {
            return Err(Failure::Option {
                option,
                message: format!(
                    "{name:?} is no configuration of the sheet; it has {}",
                    quoted(&all)
                ),
            });
        }
    }
    if first == second {
        return Err(Failure::Option {
            option: "--second",
            message: "this is the first configuration itself; name another".to_owned(),
        });
    }
    Ok(Some([first, second]))
}
