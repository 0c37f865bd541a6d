//! Results as JSON and as text.
//!
//! JSON shapes are apart from the library's types: every key carries its unit, values are in SI unless the key says otherwise,
//! full precision, `null` where there is none. The first key is `schema`; adding keys keeps its
//! number, a change of name, unit or meaning raises it. Text is for people and free to improve.

#[cfg(all(feature = "trial", feature = "supply", feature = "chart"))]
mod aeration;
#[cfg(feature = "trial")]
mod comparison;
mod csv;
mod curve;
mod error;
mod evidence;
#[cfg(feature = "trial")]
mod fit;
mod flow;
mod gas;
mod interval;
mod kind;
mod list;
mod need;
mod number;
#[cfg(feature = "trial")]
mod plan;
#[cfg(feature = "sheet")]
mod sheet;
mod size;
mod supply;
#[cfg(feature = "trial")]
mod trial;

#[cfg(all(feature = "trial", feature = "supply", feature = "chart"))]
pub use aeration::{AerationReport, NoCoefficient, OwnCoefficient};
#[cfg(feature = "trial")]
pub use comparison::ComparisonReport;
pub use error::error_json;
pub use evidence::{closures, evidence};
#[cfg(feature = "trial")]
pub use fit::{FitReport, FitRun, Without};
#[cfg(feature = "files")]
pub use list::units;
pub use list::{fittings, losses, memory, models, needs, pipes, sources, states};
pub use need::{NeedReport, TankOnDay};
pub use number::UnitSystem;
#[cfg(feature = "trial")]
pub use plan::PlanReport;
#[cfg(feature = "sheet")]
pub use sheet::DesignSheet;
#[cfg(feature = "trial")]
pub use trial::{TrialReport, TrialTerms};

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, Table};
use serde_json::Value;

use kind::Kind;

use crate::answer::{RiserFacts, SiteFacts};
use crate::caution::Caution;
use crate::model::Model;
use crate::riser::Site;
use crate::units::base;

/// Cautions as `code` and `message`.
fn cautions_json(cautions: &[Caution]) -> Value {
    serde_json::to_value(cautions).unwrap_or_default()
}

/// Water and atmosphere.
fn site_json(site: &Site) -> Value {
    serde_json::to_value(SiteFacts::from(site)).unwrap_or_default()
}

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
