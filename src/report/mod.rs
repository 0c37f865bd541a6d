//! Results as JSON and as text.
//!
//! JSON shapes are apart from the library's types: every key carries its unit, values are in SI unless the key says otherwise,
//! full precision, `null` where there is none. The first key is `schema`; adding keys keeps its
//! number, a change of name, unit or meaning raises it. Text is for people and free to improve.

#[cfg(all(feature = "trial", feature = "supply", feature = "chart"))]
mod aeration;
#[cfg(feature = "trial")]
mod calibration;
mod chain;
#[cfg(feature = "trial")]
mod comparison;
mod csv;
mod curve;
mod error;
mod evidence;
mod flow;
mod gas;
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
pub use calibration::{calibration_json, calibration_text};
pub use chain::Chain;
#[cfg(feature = "trial")]
pub use comparison::ComparisonReport;
pub use curve::CurveReport;
pub use error::error_json;
pub use evidence::closures;
#[cfg(feature = "trial")]
pub use evidence::evidence;
pub use flow::FlowReport;
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
pub use supply::{Depths, SupplyChain, SupplyGases, SupplyReport, supply_sources};
#[cfg(feature = "trial")]
pub use trial::{TrialReport, TrialTerms};

use comfy_table::presets::NOTHING;
use comfy_table::{CellAlignment, Table};
use serde_json::{Value, json};

use crate::caution::Caution;
use crate::riser::{Riser, RiserSpec, Site};
use crate::spread::{Spread, SpreadKind};
use crate::units::{cubic_meter_per_second, kelvin, per_mille, ratio};

/// Cautions as `code` and `message`.
fn cautions_json(cautions: &[Caution]) -> Value {
    cautions
        .iter()
        .map(|c| json!({ "code": c.code(), "message": c.to_string() }))
        .collect()
}

/// A spread; `low` and `high` in m³/s.
fn spread_json(spread: &Spread) -> Value {
    let (points, variants) = match spread.kind {
        SpreadKind::PublishedResiduals { points } | SpreadKind::Calibration { points } => {
            (Some(points), None)
        }
        SpreadKind::Scenario { variants } => (None, Some(variants)),
    };
    json!({
        "kind": spread.kind.name(),
        "low": spread.low.get::<cubic_meter_per_second>(),
        "high": spread.high.get::<cubic_meter_per_second>(),
        "unit": "m3/s",
        "points": points,
        "variants": variants,
    })
}

/// One line on where the spreads of several runs come from.
#[cfg(feature = "trial")]
fn spreads_line(kinds: impl Iterator<Item = SpreadKind>) -> String {
    let (scenarios, others): (Vec<_>, Vec<_>) =
        kinds.partition(|kind| matches!(kind, SpreadKind::Scenario { .. }));
    let all = scenarios.len() + others.len();
    match (scenarios.len(), others.len()) {
        (0, _) => "Spreads are those of published residuals.\n".to_owned(),
        (_, 0) => "Spreads are scenarios, outside the published data: not confidence intervals.\n"
            .to_owned(),
        (n, _) => format!(
            "Spreads are those of published residuals, but in {n} runs of {all} scenarios, outside the published data: not\nconfidence intervals.\n"
        ),
    }
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
    let text = format!(
        "Riser   bore {}, submergence {}, lift {}; outlet {}\nSite    {}\nModel   {}\n",
        units.bore(spec.free_bore()),
        units.height(spec.dimensions.submergence),
        units.height(spec.dimensions.lift),
        spec.outlet,
        site_line(riser.site(), units),
        riser.model().worded(units),
    );
    text + &factor_line(spec)
}

/// One line on the factor that a calibration puts on the flow; nothing without one.
fn factor_line(spec: &RiserSpec) -> String {
    let factor = spec.flow_factor.get::<ratio>();
    if factor == 1.0 {
        String::new()
    } else {
        format!("Flow    {factor:.4} of what the closures give: the calibration's setting error\n")
    }
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
