//! An air supply as text for people.

use super::super::interval::words;
use super::super::number::{UnitSystem, short};
use super::super::site_line;
use super::SupplyReport;
use super::tables::shift_notes;
use crate::error::Range;
use crate::sizing::Problem;
use crate::supply::blower::Specification;
use crate::supply::{PLATE_BORE, PLATE_HOLE, SolvedSupply};
use crate::units::system::place;
use crate::units::{Energy, Power, cubic_meter_per_hour, kilowatt_hour, minute, percent, ratio};

/// Cubic feet in a cubic metre, and minutes in an hour: m³/h in cfm.
const CFM: f64 = 0.028_316_846_592 * 60.0;

impl SupplyReport {
    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, problem: Option<&Problem>, units: UnitSystem) -> String {
        let chain = self.chain().map(|chain| chain.text(units));
        let mut text = chain.unwrap_or_default();
        text += &self.glance(units);
        text += "\nLifts\n";
        text += &self.lifts_table(units);
        text += &format!(
            "Air is dry, at {}; the header's pressure is gauge, at each lift's tee.\n",
            units.air_state()
        );
        if let Some(law) = orifice_law(&self.solved, units) {
            text += &format!("{law}\n");
        }
        text += "\nBlower\n";
        text += &self.specification(units);
        text += &self.operation(units);
        text += &self.main_line_table(units);
        text += "\nWhat shifts when something changes\n";
        text += &self.shifts_table(units);
        let branches = &self.solved.manifold.header().branches;
        for shift in &self.solved.shifts {
            for note in shift_notes(
                &self.solved,
                self.supply.plant.outside.pressure,
                shift,
                units,
            ) {
                text += &format!("With {}, {note}.\n", shift.change.words(branches, units));
            }
        }
        if self.solved.operation.is_none() {
            text += "The header's pressure is held at that of the design here; a blower's falls with more air.\n";
        }
        text += &self.depths_text(problem, units);
        text += &self.energy(units);
        if let Some(gases) = &self.gases {
            text += &gases.text(self.solved.manifold.risers(), units);
        }
        text += "\nParts\n";
        text += &self.parts_lines(units);
        if !self.assumptions.is_empty() {
            text += "\nAssumed, since the file does not say\n";
            for (key, value) in &self.assumptions {
                text += &format!("  {key}: {value}\n");
            }
        }
        text += "\nSources\n";
        for source in self.sources() {
            text += &format!("  {} ({}): {}\n", source.key, source.trust, source.used_for);
        }
        text
    }

    /// The duty of the air side at a glance.
    fn glance(&self, units: UnitSystem) -> String {
        let (duty, plant) = (&self.solved.duty, &self.supply.plant);
        let asked = &duty.specification;
        let count = plant.manifold.header().branches.len();
        let open = plant.manifold.header().branches.iter();
        let closed = count - open.filter(|branch| branch.open).count();
        let mut text = format!(
            "Lifts   {count} on one header{}\n",
            if closed == 0 {
                String::new()
            } else {
                format!(", {closed} of them closed")
            } + if self.at_lower_end {
                "; the lower ends of their intervals meet what they are to give"
            } else {
                ""
            }
        );
        if let Some(riser) = plant.manifold.risers().first() {
            text += &format!(
                "Site    {}\nModel   {}\n\n",
                site_line(&riser.site().into(), units),
                riser.model().worded(units)
            );
        }
        let normal = match units {
            UnitSystem::Metric => format!(
                "{} Nm3/h (dry, 0 degC, 101.325 kPa) or ",
                short(asked.normal_flow.get::<cubic_meter_per_hour>())
            ),
            UnitSystem::Us => String::new(),
        };
        text += &format!(
            "Air     {} (dry, at {}), that is {normal}{} scfm (68 degF, 14.7 psi, 36 %)\n",
            units.air(duty.air.volume_rate_at_20_c()),
            units.air_state(),
            short(asked.us_standard_flow.get::<cubic_meter_per_hour>() / CFM),
        );
        text += &format!(
            "Rise    {} running, {} to start: from the blower's intake to its outlet\n",
            units.pressure(duty.running_rise.value),
            units.pressure(duty.startup_rise.value),
        );
        let least = if self.solved.outlet_is_least {
            ", if it had no loss at all"
        } else {
            ", with its loss left in the air"
        };
        text += &format!(
            "Outlet  {} at the blower's outlet as it runs{least}; {}\n",
            units.temperature(self.solved.outlet_temperature),
            plant.arrival.map_or_else(
                || "taken for the same at the header".to_owned(),
                |arrival| format!("{} at the header", units.temperature(arrival)),
            ),
        );
        let water = self.solved.running.water_flow();
        text += &format!("Water   {}", units.water(water));
        let whole = self.whole_interval();
        text += &match whole.filter(|_| water.value > 0.0) {
            Some(found) => format!(" in all; {}\n", words(Some(found.into()), None, units)),
            None => " in all\n".to_owned(),
        };
        if let Some(cost) = &self.doubt_cost {
            let told = cost.words(units);
            text += &format!("Doubt   {}\n", told.replace(": then", ":\n        then"));
        }
        text
    }

    /// What to ask a maker for.
    fn specification(&self, units: UnitSystem) -> String {
        let (duty, plant) = (&self.solved.duty, &self.supply.plant);
        let asked = &duty.specification;
        let mut text = format!(
            "  to ask for    {} at its inlet ({}, {}, {:.0} %), against {}: the rise and {:.0} % more\n",
            units.blower_air(asked.inlet_flow),
            units.temperature(duty.intake.temperature),
            units.pressure(duty.intake.pressure.pascal()),
            duty.intake.humidity.get::<percent>(),
            units.pressure(asked.pressure_rise.value),
            plant.rise_margin.get::<percent>(),
        );
        text += &format!(
            "  same air      {} by ISO 1217 (dry, {}); {} of it is dry air\n",
            units.blower_air(asked.iso_1217_flow),
            units.pick("20 degC, 1 bar", "68 degF, 14.504 psi"),
            units.mass_flow(duty.air.kg_per_s()),
        );
        text += &format!(
            "  power then    {} adiabatic, {} isothermal{}\n",
            units.power(asked.adiabatic_power.value),
            units.power(asked.isothermal_power.value),
            powers(asked, units),
        );
        text += &format!(
            "  of the rise   {} is lost in the main line ({}), {} at the intake; {} gauge is left for the header\n",
            units.pressure(duty.main_flow.loss().value),
            units.velocity(duty.main_flow.velocity),
            units.pressure(plant.intake_loss.value),
            units.pressure((duty.header_pressure - plant.outside.pressure).value),
        );
        text
    }

    /// What the blowers of a table do.
    fn operation(&self, units: UnitSystem) -> String {
        let solved = &self.solved;
        let (Some(operation), Some(blowers)) = (&solved.operation, &self.supply.plant.blowers)
        else {
            return "  its table     not given: this is what to ask for, not what a blower does\n"
                .to_owned();
        };
        let air = |flow: crate::AirFlow| units.air(flow.volume_rate_at_20_c());
        let mut text = format!(
            "  its table     {} running, {} standing by\n",
            blowers.running, blowers.standby
        );
        text += &format!(
            "  nothing bled  {} against {}: {:+.0} % of the design air, {} of water\n",
            air(operation.unbled.split.air),
            units.pressure(operation.unbled_rise.value),
            100.0 * (operation.unbled.split.air.kg_per_s() / solved.duty.air.kg_per_s() - 1.0),
            units.water(operation.unbled.water_flow()),
        );
        if let Some(surplus) = operation.surplus {
            let hole = solved.bleed.map(|bleed| bleed.orifice);
            text += &format!(
                "  surplus       {} to bleed at the blower's outlet{}\n",
                air(surplus),
                hole.map_or_else(String::new, |hole| format!(
                    ", by a valve or a hole of {}",
                    units.bore(hole.diameter)
                )),
            );
        }
        if let Some(shortfall) = operation.shortfall {
            text += &format!(
                "  short of      {} at the rise of the design: the lifts run with less air\n",
                air(shortfall)
            );
        }
        text += &match operation.speed {
            Some(speed) => format!(
                "  speed         {:.2} of that of the table would give the design with nothing bled\n",
                speed.get::<ratio>()
            ),
            None => "  speed         none within its table gives the design\n".to_owned(),
        };
        if let Some(power) = operation.wire_power {
            text += &format!("  power         {} at the wire\n", units.power(power.value));
        }
        text += &match (&operation.one_less, blowers.running) {
            (Some(left), _) => format!(
                "  one less      leaves {} of air and {} of water{}\n",
                air(left.split.air),
                units.water(left.water_flow()),
                standby(blowers.standby),
            ),
            (None, 1) => format!(
                "  if it stops   no lift has air{}\n",
                standby(blowers.standby)
            ),
            (None, _) => format!(
                "  one less      cannot hold the header up: no lift can be counted on{}\n",
                standby(blowers.standby)
            ),
        };
        text += match solved.starts {
            Some(true) => "  start         every lift starts with all risers full of water\n",
            Some(false) => {
                "  start         not every lift gets air while all risers are full of water\n"
            }
            None => "",
        };
        text
    }

    fn energy(&self, units: UnitSystem) -> String {
        let mut text = String::new();
        if let Some(energy) = &self.solved.energy {
            let share = |power: Power| 100.0 * (power / energy.wire_power).get::<ratio>();
            let kwh = |energy: Energy| format!("{} kWh", short(energy.get::<kilowatt_hour>()));
            let (much, water) = units.much_water();
            text += "\nEnergy\n";
            text += &format!(
                "  at the wire   {}: {} a day, {} a year{}\n",
                units.power(energy.wire_power.value),
                kwh(energy.per_day()),
                kwh(energy.per_year()),
                energy
                    .per_1000_m3()
                    .map_or_else(String::new, |each| format!(
                        ", {} for {water} of water",
                        kwh(each * much)
                    )),
            );
            text += &format!(
                "  ideal         {} ({:.1} %): isothermal, at the points of injection; the rest goes in blower, motor, lines and bleed\n",
                units.power(energy.ideal_power.value),
                share(energy.ideal_power),
            );
            text += &format!(
                "  useful        {} ({:.1} %): what lifting the water takes at an efficiency of 100 %\n",
                units.power(energy.useful_power.value),
                share(energy.useful_power),
            );
        }
        if let (Some(cost), Some(tariff)) = (self.solved.yearly_cost, &self.supply.tariff) {
            text += &format!(
                "  cost          {cost:.0} {} a year, at {} {} for a kWh\n",
                tariff.currency, tariff.price_per_kilowatt_hour, tariff.currency
            );
        }
        if let Some(time) = self.solved.time_to_limit {
            text += &format!(
                "\nWithout air     the oxygen falls to its limit in {:.0} minutes\n",
                time.get::<minute>().floor()
            );
        }
        text
    }
}

/// What the loss of the orifices is; none without orifices.
pub(in crate::report) fn orifice_law(solved: &SolvedSupply, units: UnitSystem) -> Option<String> {
    let end = if solved.orifices_extrapolated()? {
        let (size, unit) = units.bore_unit();
        let least = |range: Range| format!("{} {unit}", place(1e-3 * range.min / size));
        format!(
            ", continued below the standard's {} of bore and {} of hole",
            least(PLATE_BORE),
            least(PLATE_HOLE)
        )
    } else {
        String::new()
    };
    Some(format!(
        "Orifices cost the permanent loss of a plate in a line, after ISO 5167-2{end}."
    ))
}

fn standby(standby: u32) -> String {
    match standby {
        0 => ", and none stands by".to_owned(),
        _ => " until the one that stands by has taken over".to_owned(),
    }
}

/// Powers at shaft and wire, where they are known.
fn powers(asked: &Specification, units: UnitSystem) -> String {
    let shaft = asked.shaft_power.map_or_else(String::new, |power| {
        format!(", {} at the shaft", units.power(power.value))
    });
    let wire = asked.wire_power.map_or_else(String::new, |power| {
        format!(", {} at the wire", units.power(power.value))
    });
    shaft + &wire
}
