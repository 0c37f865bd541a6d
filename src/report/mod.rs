//! Answers as text, CSV, pages and pictures: views that read an answer's fields alone. Text is for people and free to
//! improve.

mod cautions;
mod csv;
mod curve;
mod evidence;
mod existing;
mod field;
mod flow;
mod gas;
mod interval;
#[cfg(feature = "files")]
mod keys;
mod kind;
mod list;
mod loops;
mod need;
mod number;
mod profile;
mod search_map;
mod sheet;
mod size;
mod supply;
#[cfg(feature = "sweep")]
mod sweep;
mod tanks;
mod trial;
mod wrap;

pub use cautions::{caution, caution_lines};
pub use evidence::{closures, evidence};
pub use field::field;
#[cfg(feature = "files")]
pub use keys::{design_schema, keys};
#[cfg(feature = "files")]
pub use list::units;
pub use list::{fittings, losses, memory, models, needs, pipes, sources, states};
pub use number::UnitSystem;
pub use profile::BudgetRow;
pub use sheet::{BuildPage, DesignSheet, LoopSheet};
pub use size::what_to_change;
pub use wrap::{CONSOLE_COLUMNS, wrapped};

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, ContentArrangement, Table};

use kind::Kind;

use crate::answer::{AssumptionFacts, RiserFacts, SiteFacts};
use crate::model::Model;
use crate::references::Reference;
use crate::units::base;

/// One line on water and atmosphere.
fn site_line(site: &SiteFacts, units: UnitSystem) -> String {
    format!(
        "water {}, {:.1} g/kg; atmosphere {}",
        units.temperature(base(site.water_temperature_k)),
        1e3 * site.salinity,
        units.say(Kind::Pressure, site.atmospheric_pressure_pa),
    )
}

/// What was taken for keys that the file leaves out, and the sources.
fn grounds(assumptions: &[AssumptionFacts], sources: &[Reference]) -> String {
    let mut text = String::new();
    if !assumptions.is_empty() {
        text += "\nAssumed, since the file does not say\n";
    }
    for one in assumptions {
        text += &format!("  {}: {}\n", one.key, one.value);
    }
    text += "\nSources\n";
    for source in sources {
        text += &format!("  {} ({}): {}\n", source.key, source.trust, source.used_for);
    }
    text
}

/// The last two lines of a text.
fn site_and_model(site: &SiteFacts, model: &Model, units: UnitSystem) -> String {
    format!(
        "\nSite    {}\nModel   {}\n",
        site_line(site, units),
        model.worded(units)
    )
}

/// The lines that say which riser a text is about.
fn riser_lines(riser: &RiserFacts, site: &SiteFacts, model: &Model, units: UnitSystem) -> String {
    format!(
        "Riser   bore {}, submergence {}, lift {}; outlet {}{}\nSite    {}\nModel   {}\n",
        units.say(Kind::Bore, riser.bore_m),
        units.say(Kind::Height, riser.submergence_m),
        units.say(Kind::Height, riser.lift_m),
        riser.outlet,
        injector_words(riser.injector.as_deref()),
        site_line(site, units),
        model.worded(units),
    )
}

/// What is said of the injector, behind the outlet; nothing where nothing is.
fn injector_words(injector: Option<&str>) -> String {
    injector.map_or_else(String::new, |kind| format!(", injector {kind}"))
}

/// A table without rules: first column to the left, the others to the right.
fn table<const N: usize>(header: [&str; N], rows: impl IntoIterator<Item = [String; N]>) -> String {
    columns(&header, rows)
}

/// The same for a number of columns that the data set. Heads that make the table wider than a console stand in
/// several lines; cells do so too where that is not enough.
fn columns<R: IntoIterator<Item = String>>(
    header: &[impl AsRef<str>],
    rows: impl IntoIterator<Item = R>,
) -> String {
    let rows: Vec<Vec<String>> = rows
        .into_iter()
        .map(|row| row.into_iter().collect())
        .collect();
    let heads = |broken: fn(&str) -> String| -> Vec<String> {
        header.iter().map(|head| broken(head.as_ref())).collect()
    };
    let unit_below = |head: &str| match head.rsplit_once(' ') {
        Some((name, unit)) => format!("{name}\n{unit}"),
        None => head.to_owned(),
    };
    let narrow = |head: &str| head.replace(' ', "\n");
    let ways = [
        (heads(str::to_owned), 2),
        (heads(unit_below), 2),
        (heads(narrow), 2),
        (heads(narrow), 1),
    ];
    let fits = |text: &String| {
        let mut lines = text.lines();
        lines.all(|line| line.chars().count() <= CONSOLE_COLUMNS)
    };
    let whole =
        |(heads, gap): &(Vec<String>, u16)| drawn(heads, &rows, *gap, ContentArrangement::Disabled);
    ways.iter()
        .map(whole)
        .find(fits)
        .unwrap_or_else(|| drawn(&heads(narrow), &rows, 1, ContentArrangement::Dynamic))
}

/// A table with its heads at the foot of their lines.
fn drawn(
    heads: &[String],
    rows: &[Vec<String>],
    gap: u16,
    arrangement: ContentArrangement,
) -> String {
    let lines = |head: &String| head.split('\n').count();
    let most = heads.iter().map(lines).max().unwrap_or_default();
    let heads = heads
        .iter()
        .map(|head| "\n".repeat(most - lines(head)) + head);
    let mut table = Table::new();
    table.load_style(NOTHING).set_header(heads);
    table.set_content_arrangement(arrangement);
    // The gap behind the last column is cut off again.
    let columns = u16::try_from(CONSOLE_COLUMNS).unwrap_or(u16::MAX);
    table.set_width(columns.saturating_add(gap));
    for row in rows {
        table.add_row(row);
    }
    for (n, column) in table.column_iter_mut().enumerate() {
        column.set_cell_alignment(if n == 0 {
            CellAlignment::Left
        } else {
            CellAlignment::Right
        });
        column.set_padding((0, gap));
    }
    table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect()
}
