//! An air supply as text for people.

use super::super::interval::words;
use super::super::kind::{Kind, csv_table, text_table};
use super::super::number::{UnitSystem, short};
use super::super::{grounds, site_and_model, wrapped};
use super::{air, lift_columns};
use crate::answer::{EnergyFacts, OperationFacts, SupplyAnswer};
use crate::units::base;

/// Cubic metres in a cubic foot, a minute of them in SI.
const CFM: f64 = 0.028_316_846_592 / 60.0;

impl SupplyAnswer {
    /// CSV of the lifts, with units in the header.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&lift_columns(), &self.lift_rows(), units)
    }

    /// The answer for people in short: what the lifts give, what to ask of a blower, the lifts, the worst that may shift.
    /// Cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = self.answer_line(units);
        text += &self.need_line(units);
        text += &self.water_line(units);
        text += &self.sure_line(units);
        text += &self.to_ask(units);
        if let Some(operation) = &self.operation {
            text += &operation.lines(self.duty.air_mass_flow_kg_per_s, units);
        }
        if let Some(energy) = &self.energy {
            text += &energy.line(units);
        }
        text += &self.gas_line(units);
        text += &self.least_power_line(units);
        text += &self.few_lifts(units);
        text += &self.worst_shifts(units);
        text += &format!("-v lists {}.\n", self.rest());
        wrapped(&text)
    }

    /// The answer for people with all that stands behind it: parts, shifts, depths, energy, what is assumed, sources.
    #[must_use]
    pub fn full_text(&self, units: UnitSystem) -> String {
        let mut text = self.glance(units);
        let chain = self.chain_text(units);
        if !chain.is_empty() {
            text += &format!("\n{}", chain.trim_end_matches('\n'));
            text += "\n";
        }
        text += "\nLifts\n";
        text += &text_table(&lift_columns(), &self.lift_rows(), units);
        text += &format!(
            "Air is dry, at {}; the header's pressure is gauge, at each lift's tee.\n",
            units.air_state()
        );
        if let Some(law) = self.orifice_law(units) {
            text += &format!("{law}\n");
        }
        text += "\nBlower\n";
        text += &self.asked(units);
        text += &match &self.operation {
            Some(operation) => operation.text(self.duty.air_mass_flow_kg_per_s, units),
            None => "  its table     not given: this is what to ask for, not what a blower does\n"
                .to_owned(),
        };
        text += &self.main_line_table(units);
        text += "\nWhat shifts when something changes\n";
        text += &self.shifts_text(units);
        text += &self.depths_text(units);
        if let Some(energy) = &self.energy {
            text += &energy.text(units);
        }
        if let Some(stop) = &self.without_air {
            text += &format!(
                "\nWithout air     the oxygen falls to its limit in {:.0} minutes\n",
                stop.minutes()
            );
        }
        if let Some(gas) = &self.gas {
            text += &gas.text(&self.lifts, units);
        }
        text += "\nParts\n";
        text += &self.parts_lines(units);
        text += &grounds(self.assumptions.said(units), &self.sources);
        text += &site_and_model(&self.site, &self.model, units);
        wrapped(&text)
    }

    /// What the lifts give, by how much air.
    fn answer_line(&self, units: UnitSystem) -> String {
        let duty = &self.duty;
        let closed = self.lifts.iter().filter(|lift| !lift.open).count();
        let closed = match closed {
            0 => String::new(),
            closed => format!(" ({closed} of them closed)"),
        };
        let at = |mass_kg_per_s, rise_pa| {
            let rise = units.say(Kind::Pressure, rise_pa);
            format!("{} of air against {rise}", air(mass_kg_per_s, units))
        };
        let design = at(duty.air_mass_flow_kg_per_s, duty.running_rise_pa);
        let give = format!(
            "{} lifts on one header{closed} give {} of water with",
            self.lifts.len(),
            units.say(Kind::Water, self.water_flow_m3_per_s),
        );
        let lacks = self
            .operation
            .as_ref()
            .filter(|one| one.shortfall_air_mass_flow_kg_per_s.is_some());
        match lacks {
            Some(blower) => format!(
                "NOT ENOUGH air: {give} {}; the design is {design}\n",
                at(blower.unbled_air_mass_flow_kg_per_s, blower.unbled_rise_pa)
            ),
            None => format!("{give} {design}\n"),
        }
    }

    /// What the animals need, where that is known.
    fn need_line(&self, units: UnitSystem) -> String {
        let Some(chain) = &self.chain else {
            return String::new();
        };
        let needed = units.say(Kind::Water, chain.load.need_m3_per_s);
        let why = chain
            .load
            .governing
            .map_or_else(String::new, |line| format!(", {line} governs"));
        let when = chain
            .load
            .largest_day
            .as_ref()
            .map_or_else(String::new, |day| format!(" on {day}"));
        let short = self
            .shortfall_words(units)
            .map_or_else(String::new, |words| format!(". {words}"));
        format!("Need    the animals need {needed}{when}{why}{short}\n")
    }

    /// How sure the water is.
    fn water_line(&self, units: UnitSystem) -> String {
        if self.interval.is_none() || self.water_flow_m3_per_s <= 0.0 {
            return String::new();
        }
        let lower = if self.at_lower_end {
            "; the lower ends of their intervals meet what the lifts are to give"
        } else {
            ""
        };
        format!(
            "Water   {}{lower}\n",
            words(self.interval, [None; 2], units)
        )
    }

    /// What it takes to be sure.
    fn sure_line(&self, units: UnitSystem) -> String {
        let cost = self.doubt_cost.as_ref();
        cost.map_or_else(String::new, |cost| {
            format!("Surer   {}\n", cost.words(units))
        })
    }

    /// What to ask a maker for, in short.
    fn to_ask(&self, units: UnitSystem) -> String {
        let (duty, asked) = (&self.duty, &self.specification);
        format!(
            "Ask     a maker for {} at the inlet ({}, {}) against {}: {} as it runs and {} more; to start it takes {}\n",
            units.say(Kind::BlowerAir, asked.inlet_flow_m3_per_s),
            units.temperature(base(duty.intake.temperature_k)),
            units.say(Kind::Pressure, duty.intake.pressure_pa),
            units.say(Kind::Pressure, asked.pressure_rise_pa),
            units.say(Kind::Pressure, duty.running_rise_pa),
            units.say(Kind::Percent(0), asked.rise_margin),
            units.say(Kind::Pressure, duty.startup_rise_pa),
        )
    }

    /// What the full text has beside this one.
    fn rest(&self) -> String {
        let sources = self.sources.len();
        let parts = self.parts.said(UnitSystem::Metric).len();
        let assumed = self.assumptions.said(UnitSystem::Metric).len();
        let assumed = match assumed {
            0 => String::new(),
            n => format!("{n} assumed values, "),
        };
        format!("{parts} kinds of parts, all shifts, other main lines, {assumed}{sources} sources")
    }

    /// The duty of the air side at a glance.
    fn glance(&self, units: UnitSystem) -> String {
        let (duty, asked) = (&self.duty, &self.specification);
        let temperature = |kelvin: f64| units.temperature(base(kelvin));
        let mut text = self.answer_line(units);
        let normal = match units {
            UnitSystem::Metric => format!(
                "{} Nm3/h (dry, 0 degC, 101.325 kPa) or ",
                short(asked.normal_flow_m3_per_s * 3600.0)
            ),
            UnitSystem::Us => String::new(),
        };
        text += &format!(
            "Air     {} (dry, at {}), that is {normal}{} scfm (68 degF, 14.7 psi, 36 %)\n",
            air(duty.air_mass_flow_kg_per_s, units),
            units.air_state(),
            short(asked.us_standard_flow_m3_per_s / CFM),
        );
        text += &format!(
            "Rise    {} running, {} to start: from the blower's intake to its outlet\n",
            units.say(Kind::Pressure, duty.running_rise_pa),
            units.say(Kind::Pressure, duty.startup_rise_pa),
        );
        text += &format!(
            "Outlet  {} at the blower's outlet as it runs{}; {}\n",
            temperature(self.outlet_temperature_k),
            if self.outlet_is_least {
                ", if it had no loss at all"
            } else {
                ", with its loss left in the air"
            },
            if self.arrival_is_given {
                format!("{} at the header", temperature(self.arrival_temperature_k))
            } else {
                "taken for the same at the header".to_owned()
            },
        );
        text += &format!(
            "Water   {} in all",
            units.say(Kind::Water, self.water_flow_m3_per_s)
        );
        if self.interval.is_some() && self.water_flow_m3_per_s > 0.0 {
            text += &format!("; {}", words(self.interval, [None; 2], units));
        }
        text += "\n";
        text += &self.sure_line(units);
        text
    }

    /// What to ask a maker for.
    fn asked(&self, units: UnitSystem) -> String {
        let (duty, asked) = (&self.duty, &self.specification);
        let power = |watt| units.say(Kind::Power, watt);
        let pressure = |pascal| units.say(Kind::Pressure, pascal);
        let mut text = format!(
            "  to ask for    {} at its inlet ({}, {}, {}), against {}: the rise and {} more\n",
            units.say(Kind::BlowerAir, asked.inlet_flow_m3_per_s),
            units.temperature(base(duty.intake.temperature_k)),
            pressure(duty.intake.pressure_pa),
            units.say(Kind::Percent(0), duty.intake.humidity),
            pressure(asked.pressure_rise_pa),
            units.say(Kind::Percent(0), asked.rise_margin),
        );
        text += &format!(
            "  same air      {} by ISO 1217 (dry, {}); {} of it is dry air\n",
            units.say(Kind::BlowerAir, asked.iso_1217_flow_m3_per_s),
            units.pick("20 degC, 1 bar", "68 degF, 14.504 psi"),
            units.mass_flow(duty.air_mass_flow_kg_per_s),
        );
        let at = |watt: Option<f64>, place| {
            watt.map_or_else(String::new, |watt| {
                format!(", {} at the {place}", power(watt))
            })
        };
        text += &format!(
            "  power then    {} adiabatic, {} isothermal{}{}\n",
            power(asked.adiabatic_power_w),
            power(asked.isothermal_power_w),
            at(asked.shaft_power_w, "shaft"),
            at(asked.wire_power_w, "wire"),
        );
        text += &format!(
            "  of the rise   {} is lost in the main line ({}), {} at the intake; {} gauge is left for the header\n",
            pressure(duty.main_line_loss_pa),
            units.say(Kind::Velocity, duty.main_line_velocity_m_per_s),
            pressure(duty.intake_loss_pa),
            pressure(self.gauge(duty.header_pressure_pa)),
        );
        text
    }
}

impl OperationFacts {
    /// How many blowers there are.
    pub(in crate::report) fn counted(&self) -> String {
        format!("{} running, {} standing by", self.running, self.standby)
    }

    /// What is missing of the air, and what that does.
    pub(in crate::report) fn lacks(&self, units: UnitSystem) -> Option<String> {
        self.shortfall_air_mass_flow_kg_per_s.map(|missing| {
            format!(
                "NOT ENOUGH air: at the pressure of the design {} {} too little, so every lift runs with less.",
                if self.running == 1 { "the blower gives" } else { "the blowers give" },
                air(missing, units)
            )
        })
    }

    /// The same in short.
    fn lines(&self, design_kg_per_s: f64, units: UnitSystem) -> String {
        let water = |flow| units.say(Kind::Water, flow);
        let mut text = format!(
            "Blower  {}; with nothing bled {} of air against {} ({:+.0} %), {} of water",
            self.counted(),
            air(self.unbled_air_mass_flow_kg_per_s, units),
            units.say(Kind::Pressure, self.unbled_rise_pa),
            100.0 * (self.unbled_air_mass_flow_kg_per_s / design_kg_per_s - 1.0),
            water(self.unbled_water_flow_m3_per_s),
        );
        if let Some(surplus) = self.surplus_air_mass_flow_kg_per_s {
            let hole = self.bleed_hole_m.map_or_else(String::new, |hole| {
                format!(" by a valve or a hole of {}", units.say(Kind::Bore, hole))
            });
            text += &format!("; bleed {}{hole}", air(surplus, units));
            if let Some(speed) = self.speed_over_table {
                text += &format!(", or run it at {speed:.2} of its speed");
            }
        }
        if let Some(shortfall) = self.shortfall_air_mass_flow_kg_per_s {
            text += &format!(
                "; at the rise of the design it gives {} too little (a smaller balance.least_loss asks for less rise)",
                air(shortfall, units)
            );
        }
        text += &match (&self.one_less, self.running) {
            (Some(left), _) => format!(
                "; with one less {} of water",
                water(left.water_flow_m3_per_s)
            ),
            (None, 1) => String::new(),
            (None, _) => "; with one less no lift can be counted on".to_owned(),
        };
        if !self.starts {
            text += "; not every lift starts with all risers full of water";
        }
        text + "\n"
    }

    /// What the blowers of a table do with the design air.
    fn text(&self, design_kg_per_s: f64, units: UnitSystem) -> String {
        let water = |flow| units.say(Kind::Water, flow);
        let mut text = format!("  its table     {}\n", self.counted());
        text += &format!(
            "  nothing bled  {} against {}: {:+.0} % of the design air, {} of water\n",
            air(self.unbled_air_mass_flow_kg_per_s, units),
            units.say(Kind::Pressure, self.unbled_rise_pa),
            100.0 * (self.unbled_air_mass_flow_kg_per_s / design_kg_per_s - 1.0),
            water(self.unbled_water_flow_m3_per_s),
        );
        if let Some(surplus) = self.surplus_air_mass_flow_kg_per_s {
            let hole = self.bleed_hole_m.map_or_else(String::new, |hole| {
                format!(", by a valve or a hole of {}", units.say(Kind::Bore, hole))
            });
            text += &format!(
                "  surplus       {} to bleed at the blower's outlet{hole}\n",
                air(surplus, units)
            );
        }
        if let Some(shortfall) = self.shortfall_air_mass_flow_kg_per_s {
            text += &format!(
                "  short of      {} at the rise of the design: the lifts run with less air\n",
                air(shortfall, units)
            );
        }
        text += &match self.speed_over_table {
            Some(speed) => format!(
                "  speed         {speed:.2} of that of the table would give the design with nothing bled\n"
            ),
            None => "  speed         none within its table gives the design\n".to_owned(),
        };
        if let Some(power) = self.wire_power_w {
            text += &format!(
                "  power         {} at the wire\n",
                units.say(Kind::Power, power)
            );
        }
        let standby = match self.standby {
            0 => ", and none stands by",
            _ => " until the one that stands by has taken over",
        };
        text += &match (&self.one_less, self.running) {
            (Some(left), _) => format!(
                "  one less      leaves {} of air and {} of water{standby}\n",
                air(left.air_mass_flow_kg_per_s, units),
                water(left.water_flow_m3_per_s),
            ),
            (None, 1) => format!("  if it stops   no lift has air{standby}\n"),
            (None, _) => format!(
                "  one less      cannot hold the header up: no lift can be counted on{standby}\n"
            ),
        };
        text += if self.starts {
            "  start         every lift starts with all risers full of water\n"
        } else {
            "  start         not every lift gets air while all risers are full of water\n"
        };
        text
    }
}

impl EnergyFacts {
    /// What a year costs; none without a tariff.
    pub(in crate::report) fn cost_of_a_year(&self) -> Option<String> {
        let (cost, currency) = (self.yearly_cost?, self.currency.as_ref()?);
        Some(format!("{cost:.0} {currency}"))
    }

    /// Energy for much water, in J, and how much that is.
    pub(in crate::report) fn for_water(&self, units: UnitSystem) -> Option<(f64, &'static str)> {
        let (much, water) = units.much_water();
        Some((1e3 * much * self.energy_per_water_j_per_m3?, water))
    }

    /// Power at the wire and what a year takes.
    fn line(&self, units: UnitSystem) -> String {
        format!(
            "Power   {} at the wire, {} a year{}; {} of it lifts the water\n",
            units.say(Kind::Power, self.wire_power_w),
            units.say(Kind::Energy, self.yearly_energy_j),
            self.cost_of_a_year()
                .map_or_else(String::new, |cost| format!(" ({cost})")),
            units.say(Kind::Percent(1), self.efficiency),
        )
    }

    fn text(&self, units: UnitSystem) -> String {
        let energy = |joule| units.say(Kind::Energy, joule);
        let share = |share| units.say(Kind::Percent(1), share);
        let mut text = format!(
            "\nEnergy\n  at the wire   {}: {} a day, {} a year{}\n",
            units.say(Kind::Power, self.wire_power_w),
            energy(self.daily_energy_j),
            energy(self.yearly_energy_j),
            self.for_water(units)
                .map_or_else(String::new, |(joule, water)| format!(
                    ", {} for {water} of water",
                    energy(joule)
                )),
        );
        text += &format!(
            "  ideal         {} ({}): isothermal, at the points of injection; the rest goes in blower, motor, lines and bleed\n",
            units.say(Kind::Power, self.ideal_power_w),
            share(self.air_side_efficiency),
        );
        text += &format!(
            "  useful        {} ({}): what lifting the water takes at an efficiency of 100 %\n",
            units.say(Kind::Power, self.useful_power_w),
            share(self.efficiency),
        );
        if let (Some(cost), Some(price)) = (self.cost_of_a_year(), self.price_per_kwh) {
            let currency = self.currency.as_deref().unwrap_or_default();
            text += &format!("  cost          {cost} a year, at {price} {currency} for a kWh\n");
        }
        text
    }
}
