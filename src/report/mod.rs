//! Results as JSON and as text.
//!
//! JSON shapes are apart from the library's types: every key carries its unit, values are in SI unless the key says otherwise,
//! full precision, `null` where there is none. The first key is `schema`; adding keys keeps its
//! number, a change of name, unit or meaning raises it. Text is for people and free to improve.

#[cfg(all(feature = "trial", feature = "supply", feature = "chart"))]
mod aeration;
mod chain;
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
#[cfg(feature = "files")]
mod keys;
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
pub use chain::Chain;
#[cfg(feature = "trial")]
pub use comparison::ComparisonReport;
pub use curve::CurveReport;
pub use error::error_json;
pub use evidence::{closures, evidence};
#[cfg(feature = "trial")]
pub use fit::{FitReport, FitRun, Without};
pub use flow::FlowReport;
#[cfg(feature = "files")]
pub use keys::{keys, keys_json, schema};
#[cfg(feature = "files")]
pub use list::units;
pub use list::{fittings, losses, memory, models, needs, pipes, sources, states};
pub use need::{NeedReport, TankOnDay};
pub use number::UnitSystem;
#[cfg(feature = "trial")]
pub use plan::PlanReport;
#[cfg(feature = "sheet")]
pub use sheet::{DesignSheet, SheetError};
pub use size::SizeReport;
pub use supply::{Depths, DoubtCost, SupplyChain, SupplyGases, SupplyReport, supply_sources};
#[cfg(feature = "trial")]
pub use trial::{TrialReport, TrialTerms};

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, Table};
use serde_json::{Value, json};

use crate::caution::Caution;
use crate::riser::{Riser, Site};
use crate::units::{kelvin, per_mille};

/// Cautions as `code` and `message`.
fn cautions_json(cautions: &[Caution]) -> Value {
    cautions
        .iter()
        .map(|c| json!({ "code": c.code(), "message": c.to_string() }))
        .collect()
}

/// Water and atmosphere.
fn site_json(site: &Site) -> Value {
    let water = site.water.si();
    json!({
        "water_temperature_k": site.water.temperature().get::<kelvin>(),
        "salinity_g_per_kg": site.water.salinity().get::<per_mille>(),
        "water_density_kg_per_m3": water.rho,
        "water_viscosity_pa_s": water.mu,
        "surface_tension_n_per_m": water.sigma,
        "vapour_pressure_pa": water.p_v,
        "atmospheric_pressure_pa": site.atmosphere.pascal(),
    })
}

/// One line on water and atmosphere.
fn site_line(site: &Site, units: UnitSystem) -> String {
    format!(
        "water {}, {:.1} g/kg; atmosphere {}",
        units.temperature(site.water.temperature()),
        site.water.salinity().get::<per_mille>(),
        units.pressure(site.atmosphere.pascal()),
    )
}

/// The lines that say which riser a text is about.
fn riser_lines(riser: &Riser, units: UnitSystem) -> String {
    let spec = riser.spec();
    format!(
        "Riser   bore {}, submergence {}, lift {}; outlet {}\nSite    {}\nModel   {}\n",
        units.bore(spec.free_bore()),
        units.height(spec.dimensions.submergence),
        units.height(spec.dimensions.lift),
        spec.outlet,
        site_line(riser.site(), units),
        riser.model().worded(units),
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
