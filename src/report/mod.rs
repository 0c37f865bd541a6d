//! Answers as text, CSV, pages and pictures: views that read an answer's fields alone. Text is for people and free to
//! improve.

mod csv;
mod curve;
mod evidence;
mod flow;
mod gas;
mod interval;
#[cfg(feature = "files")]
mod keys;
mod kind;
mod list;
mod need;
mod number;
mod sheet;
mod size;
mod supply;
#[cfg(feature = "sweep")]
mod sweep;
mod trial;

pub use evidence::{closures, evidence};
#[cfg(feature = "files")]
pub use keys::{design_schema, keys};
#[cfg(feature = "files")]
pub use list::units;
pub use list::{fittings, losses, memory, models, needs, pipes, sources, states};
pub use number::UnitSystem;
pub use sheet::DesignSheet;

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, Table};

use kind::Kind;

use crate::answer::{RiserFacts, SiteFacts};
use crate::model::Model;
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

/// The lines that say which riser a text is about.
fn riser_lines(riser: &RiserFacts, site: &SiteFacts, model: &Model, units: UnitSystem) -> String {
    format!(
        "Riser   bore {}, submergence {}, lift {}; outlet {}\nSite    {}\nModel   {}\n",
        units.say(Kind::Bore, riser.bore_m),
        units.say(Kind::Height, riser.submergence_m),
        units.say(Kind::Height, riser.lift_m),
        riser.outlet,
        site_line(site, units),
        model.worded(units),
    )
}

/// A table without rules: first column to the left, the others to the right.
fn table<const N: usize>(header: [&str; N], rows: impl IntoIterator<Item = [String; N]>) -> String {
    columns(&header, rows)
}

/// The same for a number of columns that the data set.
fn columns<H: Into<comfy_table::Cell> + Clone, R: Into<comfy_table::Row>>(
    header: &[H],
    rows: impl IntoIterator<Item = R>,
) -> String {
    let mut table = Table::new();
    table.load_style(NOTHING).set_header(header.to_vec());
    for row in rows {
        table.add_row(row);
    }
    for (n, column) in table.column_iter_mut().enumerate() {
        column.set_cell_alignment(if n == 0 {
            CellAlignment::Left
        } else {
            CellAlignment::Right
        });
        column.set_padding((0, 2));
    }
    table
        .to_string()
        .lines()
        .map(|line| format!("{}\n", line.trim_end()))
        .collect()
}
