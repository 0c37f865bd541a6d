//! A blower's curve at a site: pressure and power over air flow, several in parallel.

use std::sync::Arc;

use super::rating::{Machine, PowerKind, Table};
use crate::air::{AIR_FLOW, AirFlow, AirState};
use crate::error::{BlowerError, Error, Input, range};
use crate::supply::PRESSURE_RISE;
use crate::units::{Power, Pressure, VolumeRate, base, kilopascal};

range!(BLOWERS, 1 to 100, "Numbers of equal blowers in parallel.");

/// Rounding of a flow or a pressure that stands at an end of the curve, relative.
const ROUNDING: f64 = 1e-12;

/// A blower's curve in the air of a site, from [`Blower::at`](super::Blower::at).
///
/// A copy costs no more than a few numbers.
///
/// # Examples
/// See [`blower`](crate::supply::blower).
#[derive(Debug, Clone, PartialEq)]
pub struct SiteCurve {
    table: Arc<Table>,
    machine: Machine,
    power_kind: Option<PowerKind>,
    intake: AirState,
    /// Mass of dry air in a cubic metre at the intake, kg/m³.
    dry_density: f64,
    /// Inlet flow, pressure rise and power over those of the table.
    flow_ratio: f64,
    rise_ratio: f64,
    power_ratio: f64,
}

impl SiteCurve {
    pub(super) fn new(
        table: Arc<Table>,
        (machine, power_kind): (Machine, Option<PowerKind>),
        density_ratio: f64,
        intake: &AirState,
    ) -> Result<Self, Error> {
        let dry_density = AirFlow::at(base(1.0), intake)?.kg_per_s();
        Self {
            table,
            machine,
            power_kind,
            intake: *intake,
            dry_density,
            flow_ratio: 1.0,
            rise_ratio: density_ratio,
            power_ratio: density_ratio,
        }
        .checked()
    }

    /// The same with its flow, pressure rise and power multiplied.
    pub(super) fn scaled(&self, flow: f64, rise: f64, power: f64) -> Result<Self, Error> {
        Self {
            flow_ratio: self.flow_ratio * flow,
            rise_ratio: self.rise_ratio * rise,
            power_ratio: self.power_ratio * power,
            ..self.clone()
        }
        .checked()
    }

    /// The same with a share of its flow, at the same rise and power.
    pub(crate) fn of_flow(&self, share: f64) -> Result<Self, Error> {
        self.scaled(share, 1.0, 1.0)
    }

    /// Itself, if its largest flow is one that can be.
    fn checked(self) -> Result<Self, Error> {
        let (_, last) = self.flows_kg_per_s();
        AIR_FLOW.check(Input::AirFlow, last)?;
        Ok(self)
    }

    /// Pressure rise at an air flow.
    ///
    /// # Errors
    /// [`Error::Blower`] with [`BlowerError::BeyondLastFlow`] or [`BlowerError::BelowFirstFlow`] when
    /// the table does not reach there.
    pub fn rise(&self, air: AirFlow) -> Result<Pressure, Error> {
        let flow = self.table_flow(air.kg_per_s()).map_err(Error::Blower)?;
        Ok(base(self.rise_at_table_flow(flow)))
    }

    /// Air flow against a pressure rise.
    ///
    /// # Errors
    /// [`Error::Blower`] with [`BlowerError::AboveHighestRise`] or [`BlowerError::BelowLowestRise`]
    /// when the table does not reach there; [`Error::OutOfRange`] outside
    /// [`PRESSURE_RISE`](crate::supply::PRESSURE_RISE), [`Error::NotFinite`].
    pub fn air_flow(&self, rise: Pressure) -> Result<AirFlow, Error> {
        PRESSURE_RISE.check(Input::PressureRise, rise.get::<kilopascal>())?;
        let (highest, lowest) = self.rises();
        let table_pa = rise.value / self.rise_ratio;
        let (top, foot) = self.table_rises_pa();
        let near = ROUNDING * top;
        if table_pa > top + near {
            return Err(Error::Blower(BlowerError::AboveHighestRise {
                rise,
                highest,
            }));
        }
        if table_pa < foot - near {
            return Err(Error::Blower(BlowerError::BelowLowestRise { rise, lowest }));
        }
        // Only rounding is left to cut off.
        let flow = self
            .table
            .rise_pa
            .inverse_of_falling(table_pa.clamp(foot, top))?;
        Ok(AirFlow::from_kg_per_s(
            flow * self.flow_ratio * self.dry_density,
        ))
    }

    /// Power at an air flow, at the shaft or at the wire as the table has it; none if it has none.
    ///
    /// # Errors
    /// As [`SiteCurve::rise`].
    pub fn power(&self, air: AirFlow) -> Result<Option<Power>, Error> {
        let flow = self.table_flow(air.kg_per_s()).map_err(Error::Blower)?;
        let power = self.table.power_w.as_ref();
        Ok(power.map(|power| base(self.power_ratio * power.at(flow))))
    }

    /// Where the power is counted; none if the table has no power.
    #[must_use]
    pub fn power_kind(&self) -> Option<PowerKind> {
        self.table.power_w.as_ref().and(self.power_kind)
    }

    /// Smallest and largest air flow of the curve.
    #[must_use]
    pub fn flows(&self) -> (AirFlow, AirFlow) {
        let (first, last) = self.flows_kg_per_s();
        (AirFlow::from_kg_per_s(first), AirFlow::from_kg_per_s(last))
    }

    /// Highest and lowest pressure rise of the curve: those at its smallest and its largest flow.
    #[must_use]
    pub fn rises(&self) -> (Pressure, Pressure) {
        let (top, foot) = self.table_rises_pa();
        (base(self.rise_ratio * top), base(self.rise_ratio * foot))
    }

    /// State of the air at the intake.
    #[must_use]
    pub fn intake(&self) -> &AirState {
        &self.intake
    }

    /// Kind of machine.
    #[must_use]
    pub fn machine(&self) -> Machine {
        self.machine
    }

    /// As many equal blowers in parallel: at a pressure rise their flows and powers add up.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`BLOWERS`].
    pub fn in_parallel(&self, blowers: u32) -> Result<Self, Error> {
        let blowers = BLOWERS.check(Input::BlowerCount, f64::from(blowers))?;
        self.scaled(blowers, 1.0, blowers)
    }

    /// Pressure rise in Pa at a flow of dry air in kg/s, for the solvers; NaN off the table.
    pub(crate) fn rise_pa(&self, kg_per_s: f64) -> f64 {
        self.table_flow(kg_per_s)
            .map_or(f64::NAN, |flow| self.rise_at_table_flow(flow))
    }

    /// Smallest and largest flow of dry air, kg/s.
    pub(crate) fn flows_kg_per_s(&self) -> (f64, f64) {
        let (first, last) = self.table.rise_pa.ends();
        let to_mass = self.flow_ratio * self.dry_density;
        (first * to_mass, last * to_mass)
    }

    /// Pressure rise in Pa where the table has an inlet flow in m³/s.
    pub(super) fn rise_at_table_flow(&self, flow: f64) -> f64 {
        self.rise_ratio * self.table.rise_pa.at(flow)
    }

    /// Smallest and largest inlet flow of the table, m³/s.
    pub(super) fn table_ends(&self) -> (f64, f64) {
        self.table.rise_pa.ends()
    }

    /// Inlet flow, m³/s, that stands in the table for a flow of dry air here, without its bounds.
    pub(super) fn unbounded_table_flow(&self, kg_per_s: f64) -> f64 {
        kg_per_s / (self.flow_ratio * self.dry_density)
    }

    /// A flow on the table in m³/s as one at the intake here.
    pub(super) fn inlet(&self, table_flow: f64) -> VolumeRate {
        base(table_flow * self.flow_ratio)
    }

    /// Inlet flow of the table, m³/s, for a flow of dry air here.
    fn table_flow(&self, kg_per_s: f64) -> Result<f64, BlowerError> {
        let flow = self.unbounded_table_flow(kg_per_s);
        let (first, last) = self.table_ends();
        let near = ROUNDING * last;
        if flow > last + near {
            let (flow, last) = (self.inlet(flow), self.inlet(last));
            return Err(BlowerError::BeyondLastFlow { flow, last });
        }
        if flow < first - near {
            let (flow, first) = (self.inlet(flow), self.inlet(first));
            return Err(BlowerError::BelowFirstFlow { flow, first });
        }
        // Only rounding is left to cut off.
        Ok(flow.clamp(first, last))
    }

    /// Highest and lowest pressure rise of the table, Pa.
    fn table_rises_pa(&self) -> (f64, f64) {
        let (first, last) = self.table_ends();
        (self.table.rise_pa.at(first), self.table.rise_pa.at(last))
    }
}
