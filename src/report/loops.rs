//! A closed loop as text and CSV.

use super::kind::{Column, Kind, csv_table, text_table};
use super::number::UnitSystem;
use super::wrapped;
use crate::air::at_20_c;
use crate::answer::{
    LeastFacts, LoopAnswer, LoopChangeFacts, LoopChoiceFacts, LoopLimitFacts, LoopSizeFacts,
    LoopTankFacts, ShortageFacts, StockFacts,
};
use crate::recirculation::LoopLimit;

const HOUR_S: f64 = 3600.0;

/// Grams an hour, for balances of a loop.
const G_H: f64 = 1e-3 / HOUR_S;

impl LoopLimit {
    fn words(self) -> &'static str {
        match self {
            Self::Oxygen => "oxygen",
            Self::Tan => "ammonia (TAN)",
            Self::Ammonia => "un-ionised ammonia",
            Self::CarbonDioxide => "carbon dioxide",
            Self::Turnover => "turnover",
            Self::TotalGasPressure => "total gas pressure",
        }
    }
}

/// A time of day, as 14:05.
fn clock(seconds: f64) -> String {
    let minutes = (seconds / 60.0).round() as u32;
    format!("{}:{:02}", minutes / 60 % 24, minutes % 60)
}

/// A duration in minutes or hours, from a worst moment that may be past the level already.
fn lasts(seconds: f64) -> String {
    let minutes = seconds / 60.0;
    match minutes {
        m if m <= 0.0 => "past it".to_owned(),
        m if m < 10.0 => format!("{m:.1} min"),
        m if m < 180.0 => format!("{m:.0} min"),
        m => format!("{:.1} h", m / 60.0),
    }
}

fn dissolved(kg_per_m3: f64, units: UnitSystem) -> String {
    format!("{} mg/L", units.number(Kind::Dissolved, kg_per_m3))
}

fn tanks() -> Vec<Column<LoopTankFacts>> {
    vec![
        Column::new("tank", "tank", Kind::Plain, |one: &LoopTankFacts, _| {
            (&one.name).into()
        }),
        Column::saved("biomass_kg", Kind::Plain, |one, _| one.biomass_kg.into()),
        Column::new("water", "water_{}", Kind::Water, |one, _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::new(
            "least oxygen mg/L",
            "least_oxygen_mg_per_l",
            Kind::Dissolved,
            |one, _| one.least_oxygen_kg_per_m3.into(),
        ),
        Column::new("at", "least_oxygen_at", Kind::Plain, |one, _| {
            clock(one.least_oxygen_time_s).into()
        }),
        Column::saved("mean_oxygen_mg_per_l", Kind::Dissolved, |one, _| {
            one.mean_oxygen_kg_per_m3.into()
        }),
        Column::new(
            "most CO2 mg/L",
            "most_carbon_dioxide_mg_per_l",
            Kind::Dissolved,
            |one, _| one.most_carbon_dioxide_kg_per_m3.into(),
        ),
        Column::new(
            "most TAN mg/L",
            "most_tan_mg_per_l",
            Kind::Dissolved,
            |one, _| one.most_tan_kg_per_m3.into(),
        ),
        Column::new(
            "total gas",
            "total_gas_pressure_percent",
            Kind::Percent(1),
            |one, _| one.total_gas_pressure.into(),
        ),
        Column::shown("without air to its limit", Kind::Plain, |one, _| {
            one.time_to_limit_s.map(lasts).into()
        }),
        Column::saved("minutes_to_limit", Kind::Plain, |one, _| {
            one.time_to_limit_s.map(|time| time / 60.0).into()
        }),
        Column::shown("to survival", Kind::Plain, |one, _| {
            one.time_to_survival_s.map(lasts).into()
        }),
        Column::saved("minutes_to_survival", Kind::Plain, |one, _| {
            one.time_to_survival_s.map(|time| time / 60.0).into()
        }),
    ]
}

fn changes() -> Vec<Column<LoopChangeFacts>> {
    vec![
        Column::shown("what if", Kind::Plain, |one: &LoopChangeFacts, units| {
            one.words(units).into()
        }),
        Column::shown("holds", Kind::Plain, |one, _| {
            if one.holds { "yes" } else { "no" }.into()
        }),
        Column::shown("least oxygen mg/L", Kind::Dissolved, |one, _| {
            one.least_oxygen
                .as_ref()
                .map(|least| least.oxygen_kg_per_m3)
                .into()
        }),
        Column::shown("in", Kind::Plain, |one, _| {
            one.least_oxygen.as_ref().map(|least| &least.tank).into()
        }),
        Column::shown("at", Kind::Plain, |one, _| {
            one.least_oxygen
                .as_ref()
                .map(|least| clock(least.time_s))
                .into()
        }),
        Column::shown("governs", Kind::Plain, |one, _| one.governs().into()),
        Column::shown("left", Kind::Percent(1), |one, _| {
            one.governing.as_ref().map(|limit| limit.slack).into()
        }),
    ]
}

fn choices() -> Vec<Column<LoopChoiceFacts>> {
    vec![
        Column::shown(
            "lifts that hold",
            Kind::Count,
            |one: &LoopChoiceFacts, _| f64::from(one.lifts).into(),
        ),
        Column::shown("water each", Kind::Water, |one, _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::shown("air each", Kind::Air, |one, _| {
            one.air_mass_flow_kg_per_s.map(at_20_c).into()
        }),
        Column::shown("power of the air", Kind::Power, |one, _| {
            one.air_power_w.into()
        }),
        Column::shown("below best efficiency", Kind::Yes, |one, _| {
            one.below_best_efficiency.unwrap_or_default().into()
        }),
        Column::shown("governs", Kind::Plain, |one, _| {
            one.governing
                .as_ref()
                .map(|limit| limit.limit.words())
                .into()
        }),
        Column::shown("left", Kind::Percent(1), |one, _| {
            one.governing.as_ref().map(|limit| limit.slack).into()
        }),
    ]
}

impl LoopSizeFacts {
    /// Why not fewer, or why no number holds.
    fn words(&self) -> String {
        let of = |limit: &Option<LoopLimitFacts>| {
            limit
                .as_ref()
                .map(LoopLimitFacts::words)
                .unwrap_or_default()
        };
        match (self.more.as_deref(), self.choices.first()) {
            (None, Some(choice)) => match choice.fewer {
                Some(fewer) => {
                    format!("Fewer   {fewer} do not hold: {}\n", of(&choice.fewer_fails))
                }
                None => String::new(),
            },
            (Some("no_balance"), _) => {
                let short = self.shortage.as_ref().map(ShortageFacts::words);
                format!(
                    "Short   no number of lifts helps: {}\n",
                    short.unwrap_or_default()
                )
            }
            (Some("mean_fails"), _) => format!(
                "Short   no number of lifts helps: with endless lifts the mean of the day has {}\n",
                of(&self.mean_fails)
            ),
            (Some("hardly"), _) => "Short   more lifts hardly help\n".to_owned(),
            (Some("too_much_gas"), _) => {
                "Short   more lifts make the total gas pressure worse\n".to_owned()
            }
            (Some("at_least"), _) => format!(
                "Short   {} lifts at least: with those the mean of the day holds, its worst hour may take more\n",
                self.at_least.unwrap_or_default()
            ),
            _ => "Short   a lift gives no water, or none that is sure\n".to_owned(),
        }
    }
}

impl LoopChangeFacts {
    /// What governs, or what is short.
    fn governs(&self) -> Option<String> {
        let short = || {
            self.shortage
                .as_ref()
                .map(|short| short.in_short().to_owned())
        };
        let limit = self.governing.as_ref();
        limit
            .map(|limit| limit.limit.words().to_owned())
            .or_else(short)
    }

    fn words(&self, units: UnitSystem) -> String {
        match self.change.as_str() {
            "lifts_off" => format!("{} lifts off", self.lifts_off.unwrap_or_default()),
            "filter_bypassed" => "filter bypassed".to_owned(),
            "warmer" => {
                let kelvin = self.temperature_rise_k.unwrap_or_default();
                let (size, unit) = units.pick((1.0, "K"), (5.0 / 9.0, "degF"));
                format!("{:.0} {unit} warmer", kelvin / size)
            }
            _ => "lifts at the lower end".to_owned(),
        }
    }
}

impl LeastFacts {
    fn words(&self, units: UnitSystem) -> String {
        let c = units.number(Kind::Dissolved, self.oxygen_kg_per_m3);
        format!("{c} mg/L in {} at {}", self.tank, clock(self.time_s))
    }
}

impl LoopLimitFacts {
    fn words(&self) -> String {
        let (limit, tank) = (self.limit.words(), &self.tank);
        let share = match 100.0 * self.slack.abs() {
            less if less < 1.0 => format!("{less:.1}"),
            share => format!("{share:.0}"),
        };
        let which = if self.slack < 0.0 {
            "beyond its limit"
        } else {
            "of its limit left"
        };
        match (self.limit, self.time_s) {
            (LoopLimit::Turnover, _) | (_, None) => {
                format!("{limit} of {tank}, {share} % {which}")
            }
            (_, Some(at)) => format!("{limit} of {tank}, {share} % {which} at {}", clock(at)),
        }
    }
}

impl StockFacts {
    fn words(&self) -> String {
        let bound = match self.bound.as_str() {
            "oxygen_runs_out" => "oxygen that runs out",
            "filter" => "the filter's film",
            limit => limit,
        };
        match &self.place {
            Some(place) => format!("{} of {place}", bound.replace('_', " ")),
            None => bound.to_owned(),
        }
    }
}

impl ShortageFacts {
    fn in_short(&self) -> &'static str {
        match self.what.as_str() {
            "filter_overloaded" => "filter too small",
            "nothing_takes_ammonia" => "no filter for ammonia",
            "nothing_exchanges" => "no exchange of gas",
            _ => "oxygen runs out",
        }
    }

    fn words(&self) -> String {
        let g_h = |kg_s: Option<f64>| format!("{:.1} g/h", kg_s.unwrap_or_default() / G_H);
        match self.what.as_str() {
            "filter_overloaded" => format!(
                "ammonia: the animals give off {}, the filter takes {} at most",
                g_h(self.excreted_kg_per_s),
                g_h(self.most_kg_per_s)
            ),
            "nothing_takes_ammonia" => "ammonia: neither filter nor new water takes it".to_owned(),
            "nothing_exchanges" => format!(
                "{}: neither lifts, surface nor new water exchange it",
                self.gas.as_deref().unwrap_or_default()
            ),
            _ => format!(
                "oxygen runs out: {}",
                self.place.as_deref().unwrap_or_default()
            ),
        }
    }
}

impl LoopAnswer {
    /// What holds and what governs, tank by tank, and what can go wrong.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        wrapped(&self.body(units, false))
    }

    /// The same with the balance of oxygen, carbon dioxide and ammonia, and every default with its source.
    #[must_use]
    pub fn full_text(&self, units: UnitSystem) -> String {
        wrapped(&self.body(units, true))
    }

    /// A row for each tank.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        csv_table(&tanks(), &self.tanks, units)
    }

    fn body(&self, units: UnitSystem, full: bool) -> String {
        let mut text = match (&self.shortage, self.holds) {
            (Some(short), _) => format!("Day     it cannot balance: {}\n", short.words()),
            (None, true) => "Day     every limit holds, through the worst hour too\n".to_owned(),
            (None, false) => "Day     it does not hold\n".to_owned(),
        };
        if let Some(governing) = &self.governing {
            text += &format!("Governs {}\n", governing.words());
        }
        if let Some(least) = &self.least_oxygen {
            text += &format!("Oxygen  least {}", least.words(units));
            if let Some(after) = self.after_filter_least_oxygen_kg_per_m3 {
                text += &format!("; {} behind the filter", dissolved(after, units));
            }
            text += "\n";
        }
        text += &self.lifts_text(units);
        if let Some(size) = &self.size {
            text += &size.words();
        }
        if let Some(stock) = &self.stock {
            text += &self.stock_text(stock, units);
        }
        if self.is_ceiling {
            text += "Ceiling no transfer coefficient is given: the lifts are better here than they can be\n";
        }
        if !self.tanks.is_empty() {
            text += "\n";
            text += &text_table(&tanks(), &self.tanks, units);
        }
        if let Some(size) = self.size.as_ref().filter(|size| size.choices.len() > 1) {
            text += "\n";
            text += &text_table(&choices(), &size.choices, units);
            text += "The first was taken. Below the best efficiency the water hangs steeply on the air.\n";
        }
        text += "\n";
        text += &text_table(&changes(), &self.changes, units);
        if self
            .changes
            .iter()
            .any(|one| one.change == "filter_bypassed" && one.shortage.is_some())
        {
            text += &self.bypass_text();
        }
        if full {
            text += &self.detail(units);
        } else {
            let memory = self.defaults.iter().filter(|one| one.trust != "read");
            let memory = memory.count();
            if memory > 0 {
                text += &format!(
                    "\n{} defaults were taken, {memory} of them from memory or our own: -v lists them with their sources.\n",
                    self.defaults.len()
                );
            }
        }
        text
    }

    /// The stock that the mean of the day bears, which its worst hour need not.
    fn stock_text(&self, stock: &StockFacts, units: UnitSystem) -> String {
        if stock.biomass_kg <= 0.0 {
            return "Stock   none could live\n".to_owned();
        }
        let mass = units.mass(crate::units::base(stock.biomass_kg));
        let worst = if self.holds || stock.factor < 1.0 {
            ""
        } else {
            "; its worst hour bears less than is there"
        };
        format!(
            "Stock   {mass} could live by the mean of the day, {:.2} times what is there, bound by {}{worst}\n",
            stock.factor,
            stock.words()
        )
    }

    /// How fast ammonia rises while the filter is bypassed.
    fn bypass_text(&self) -> String {
        let volume: f64 = self.tanks.iter().map(|tank| tank.volume_m3).sum();
        let tan = self.budget.iter().find(|one| one.substance == "tan");
        let Some(rise) = tan.map(|tan| tan.animals_kg_per_s / volume * 86_400.0) else {
            return String::new();
        };
        format!(
            "Without the filter the ammonia rises by {} a day.\n",
            dissolved(rise, UnitSystem::Metric)
        )
    }

    fn lifts_text(&self, units: UnitSystem) -> String {
        let all = units.say(Kind::Water, self.water_flow_m3_per_s);
        let each = match &self.groups[..] {
            [one] => {
                let each = units.say(Kind::Water, one.water_flow_m3_per_s);
                let sure = one.interval.map(|ends| {
                    let (low, high) = (
                        units.number(Kind::Water, ends.low_m3_per_s),
                        units.number(Kind::Water, ends.high_m3_per_s),
                    );
                    format!(
                        ", {low} to {high} with {:.0} % probability",
                        100.0 * ends.level
                    )
                });
                format!(" of {each}{}", sure.unwrap_or_default())
            }
            _ => String::new(),
        };
        let end = if self.at_lower_end {
            " (lower end)"
        } else {
            ""
        };
        format!("Lifts   {}{each}{end}: {all} in all\n", self.lifts)
    }

    fn detail(&self, _units: UnitSystem) -> String {
        let mut text = "\nBalance, mean of the day, g/h\n".to_owned();
        text += &text_table(&budget(), &self.budget, UnitSystem::Metric);
        text += &super::need::defaults_text(&self.defaults);
        text
    }
}

fn budget() -> Vec<Column<crate::answer::LoopBudgetFacts>> {
    fn g_h(kg_s: f64) -> String {
        let value = kg_s / G_H;
        if value.abs() < 0.005 {
            "0".to_owned()
        } else {
            format!("{value:.2}")
        }
    }
    vec![
        Column::shown("substance", Kind::Plain, |one, _| {
            match one.substance.as_str() {
                "tan" => "TAN".to_owned(),
                gas => gas.replace('_', " "),
            }
            .into()
        }),
        Column::shown("animals", Kind::Plain, |one, _| {
            g_h(one.animals_kg_per_s).into()
        }),
        Column::shown("filter", Kind::Plain, |one, _| {
            g_h(one.filter_kg_per_s).into()
        }),
        Column::shown("lifts", Kind::Plain, |one, _| {
            g_h(one.lifts_kg_per_s).into()
        }),
        Column::shown("surfaces", Kind::Plain, |one, _| {
            g_h(one.surfaces_kg_per_s).into()
        }),
        Column::shown("aerators", Kind::Plain, |one, _| {
            g_h(one.aerators_kg_per_s).into()
        }),
        Column::shown("new water", Kind::Plain, |one, _| {
            g_h(one.makeup_kg_per_s).into()
        }),
    ]
}
