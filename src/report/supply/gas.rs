//! Gases of the water of all lifts of a supply.

use serde_json::{Value, json};

use super::super::gas::{LEAVES, animals_limit, assumed_text, source};
use super::super::number::{UnitSystem, short};
use crate::error::Error;
use crate::gas::Gas;
use crate::riser::Riser;
use crate::supply::SolvedSupply;
use crate::transfer::{GasTerms, LiftGases};
use crate::units::{
    Length, MassPerEnergy, MassRate, Power, Ratio, base, kilogram_per_hour,
    kilogram_per_kilowatt_hour, milligram_per_liter, percent,
};

/// What all lifts together do to the gases of their water.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SupplyGases {
    /// What is known.
    pub terms: GasTerms,
    /// Of each lift in the header's order; none of a lift that does not pump.
    pub lifts: Vec<Option<LiftGases>>,
    /// Oxygen that the water of all lifts takes up; none without a coefficient.
    pub oxygen_added: Option<MassRate>,
    /// The same for the electric energy, where the power at the wire is known.
    pub oxygen_per_wire_energy: Option<MassPerEnergy>,
    /// The same for the isothermal energy of the air at the points of injection.
    pub oxygen_per_air_energy: Option<MassPerEnergy>,
}

impl SupplyGases {
    /// Of the lifts as they run; `rise` is how far their water can stand above their submergence.
    ///
    /// # Errors
    /// As [`GasTerms::of`].
    pub fn of(solved: &SolvedSupply, terms: &GasTerms, rise: Length) -> Result<Self, Error> {
        let risers = solved.manifold.risers().iter();
        let pairs = risers.zip(&solved.running.lifts);
        let lifts: Vec<Option<LiftGases>> = pairs
            .map(|(riser, outcome)| {
                let point = outcome.point();
                point.map(|point| terms.of(riser, point, rise)).transpose()
            })
            .collect::<Result<_, Error>>()?;
        let added = lifts.iter().flatten().filter_map(|lift| {
            let (_, found) = lift.transfer.as_ref()?;
            Some(found.oxygen_added)
        });
        let oxygen_added = added.reduce(|sum, added| sum + added);
        let points = solved.running.lifts.iter().filter_map(|lift| lift.point());
        let air_power = points.fold(base(0.0), |sum: Power, point| sum + point.injection_power);
        let per = |power: Option<Power>| -> Option<MassPerEnergy> {
            let power = power.filter(|power| power.value > 0.0)?;
            Some(base(oxygen_added?.value / power.value))
        };
        Ok(Self {
            terms: *terms,
            oxygen_per_wire_energy: per(solved.energy.map(|energy| energy.wire_power)),
            oxygen_per_air_energy: per(Some(air_power)),
            oxygen_added,
            lifts,
        })
    }

    /// The lift with the largest bound of total gas pressure: the deepest where their mouths are alike.
    #[must_use]
    pub fn deepest(&self) -> Option<&LiftGases> {
        self.lifts.iter().flatten().reduce(|most, next| {
            // No bound is one deeper than any.
            let larger = match (most.bound, next.bound) {
                (Some(most), Some(next)) => next > most,
                (most, _) => most.is_some(),
            };
            if larger { next } else { most }
        })
    }

    pub(super) fn json(&self) -> Value {
        let per_kwh = |e: MassPerEnergy| e.get::<kilogram_per_kilowatt_hour>();
        let per_cent = |share: Ratio| share.get::<percent>();
        let deepest = self.deepest();
        json!({
            "total_gas_pressure_bound_percent": deepest.and_then(|lift| lift.bound).map(per_cent),
            "total_gas_pressure_limit_percent": deepest.map(|lift| per_cent(lift.limit)),
            "limit_source": deepest.map(source),
            "oxygen_added_kg_per_h_total": self.oxygen_added.map(|added| added.get::<kilogram_per_hour>()),
            "oxygen_kg_per_kwh_of_wire_power": self.oxygen_per_wire_energy.map(per_kwh),
            "oxygen_kg_per_kwh_of_air_power": self.oxygen_per_air_energy.map(per_kwh),
        })
    }

    pub(super) fn text(&self, risers: &[Riser], units: UnitSystem) -> String {
        let Some(deepest) = self.deepest() else {
            return String::new();
        };
        let bound = deepest.bound.map_or_else(
            || {
                format!(
                    "no bound known below {} of water",
                    units.pick("100 m", "328 ft")
                )
            },
            |bound| {
                let bound = bound.get::<percent>();
                format!("water leaves the deepest lift with up to {bound:.1} % total gas pressure")
            },
        );
        let mut text = format!(
            "\nGases\n  from depth    {bound}, limit {:.1} % ({})\n{LEAVES}",
            deepest.limit.get::<percent>(),
            source(deepest)
        );
        let Some(added) = self.oxygen_added else {
            text += "  transfer      not known without [gas] transfer_coefficient, from an aeration test of such a riser\n";
            return text;
        };
        for (riser, lifts) in self.alike(risers) {
            text += &group(riser, &lifts, units);
        }
        for (gas, name) in [(Gas::Oxygen, "oxygen"), (Gas::CarbonDioxide, "CO2")] {
            if let (Some((known, _)), Some(limit)) =
                (&deepest.transfer, self.terms.tank[gas as usize])
            {
                text += &format!(
                    "  {name:<14}{} mg/L enter{}\n",
                    short(known.inlet.of(gas).get::<milligram_per_liter>()),
                    animals_limit(gas, limit)
                );
            }
        }
        let energy = match (self.oxygen_per_wire_energy, self.oxygen_per_air_energy) {
            (Some(wire), _) => format!("; {} of electricity", units.mass_per_energy(wire)),
            (None, Some(air)) => format!(
                "; {} of isothermal air power at the injection points,\n                less for each kWh of electricity: the power at the wire is not known",
                units.mass_per_energy(air)
            ),
            (None, None) => String::new(),
        };
        text += &format!(
            "  oxygen added  {} by all lifts{energy}\n",
            units.mass_flow(added.value)
        );
        let names = |gases: Vec<Gas>| gases.iter().map(ToString::to_string).collect::<Vec<_>>();
        text + &assumed_text(&names(self.terms.assumed()), &names(self.terms.at_limits()))
    }

    /// Lifts of one kind together, in the order of the first of each.
    fn alike<'a>(&'a self, risers: &'a [Riser]) -> Vec<(&'a Riser, Vec<&'a LiftGases>)> {
        let mut groups: Vec<(&Riser, Vec<&LiftGases>)> = Vec::new();
        for (riser, lift) in risers.iter().zip(&self.lifts) {
            let Some(lift) = lift else { continue };
            let kind = |(first, _): &&mut (&Riser, _)| first.spec() == riser.spec();
            match groups.iter_mut().find(kind) {
                Some((_, lifts)) => lifts.push(lift),
                None => groups.push((riser, vec![lift])),
            }
        }
        groups
    }
}

/// What leaves lifts of one kind, from the least to the most of them.
fn group(riser: &Riser, lifts: &[&LiftGases], units: UnitSystem) -> String {
    let found = || lifts.iter().filter_map(|lift| lift.transfer.as_ref());
    let span = |values: &mut dyn Iterator<Item = f64>, show: fn(f64) -> String| {
        let (low, high) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
        let (low, high) = (show(low), show(high));
        if low == high {
            low
        } else {
            format!("{low} to {high}")
        }
    };
    let leaving = |gas: Gas| {
        let values = found().map(|(_, found)| found.outlet.of(gas).get::<milligram_per_liter>());
        span(&mut values.into_iter(), short)
    };
    let mut total = found().map(|(_, found)| found.total_pressure.share().get::<percent>());
    let dimensions = riser.spec().dimensions;
    format!(
        "  {} x {} deep  leave with oxygen {} mg/L, CO2 {} mg/L, total gas pressure {} %\n",
        lifts.len(),
        units.height(dimensions.submergence),
        leaving(Gas::Oxygen),
        leaving(Gas::CarbonDioxide),
        span(&mut total, |value| format!("{value:.1}")),
    )
}
