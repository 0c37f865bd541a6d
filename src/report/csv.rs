//! Cells and headers that tables of CSV share.

/// A text as a cell of CSV.
pub(super) fn quoted(text: &str) -> String {
    if text.contains([',', '"', '\n', '\r', ';']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

/// A unit as the end of a header, such as `l_per_min`.
pub(super) fn unit_key(unit: &str) -> String {
    unit.replace('/', "_per_").to_lowercase()
}

/// The first columns of a table of runs.
#[cfg(feature = "trial")]
pub(super) fn run_header(units: super::UnitSystem) -> String {
    let (_, unit) = units.height_unit();
    format!("run,configuration,submergence_{unit},lift_{unit}")
}

/// The cells below [`run_header`].
#[cfg(feature = "trial")]
pub(super) fn run_cells(
    [label, configuration]: [&str; 2],
    [submergence, lift]: [crate::units::Length; 2],
    units: super::UnitSystem,
) -> String {
    let (size, _) = units.height_unit();
    format!(
        "{},{},{},{}",
        quoted(label),
        quoted(configuration),
        submergence.value / size,
        lift.value / size
    )
}
