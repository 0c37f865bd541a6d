//! A closed loop as text and CSV.

use super::kind::{Cell, Column, Kind, csv_table, text_table};
use super::number::{UnitSystem, short};
use super::wrapped;
use crate::air::at_20_c;
use crate::answer::{
    LeastFacts, LoopAnswer, LoopBudgetFacts, LoopChangeFacts, LoopChoiceFacts, LoopLimitFacts,
    LoopSizeFacts, LoopTankFacts, ShortageFacts, StockFacts,
};
use crate::recirculation::LoopLimit;
use crate::units::base;
use crate::units::system::POUND_KG;

/// Mass of sodium bicarbonate with the alkalinity of a mass of calcium carbonate: 2 × 84.007/100.087.
const BICARBONATE_FOR_CARBONATE: f64 = 2.0 * 84.007 / 100.087;

/// What warmer water does.
pub(super) const WARMER_NOTE: &str =
    "Warmer: saturation, filter and risers follow, what the animals take stays as given.";

/// What the choices are to be read with.
pub(super) const CHOICES_NOTE: &str = "The first was taken. Below the best efficiency the water hangs steeply on the air. The transfer coefficient is taken as the same at every air flow: test a lift at the air you choose.";

/// The place behind the filter, as an answer names it.
const AFTER_FILTER: &str = "after the filter";

/// A line of the answer: its name and its words.
pub(super) type Line = (&'static str, String);

impl LoopLimit {
    pub(super) fn words(self) -> &'static str {
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
pub(super) fn clock(seconds: f64) -> String {
    let minutes = (seconds / 60.0).round();
    let hours = (minutes / 60.0).floor() % 24.0;
    format!("{hours:.0}:{:02.0}", minutes % 60.0)
}

/// A duration in minutes or hours, from a worst moment that may be past the level already.
pub(super) fn lasts(seconds: f64) -> String {
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

type TankColumn = Column<LoopTankFacts>;

pub(super) fn tanks() -> Vec<TankColumn> {
    vec![
        TankColumn::told("tank", "tank", Kind::Plain, |one, _| (&one.name).into()).keyed("tank"),
        TankColumn::paged("animals", Kind::Plain, |one, units| {
            units.mass(base(one.biomass_kg)).into()
        }),
        TankColumn::saved("biomass_kg", Kind::Plain, |one, _| one.biomass_kg.into()),
        TankColumn::told("water", "water", Kind::Water, |one, _| {
            one.water_flow_m3_per_s.into()
        })
        .keyed("water_{}"),
        TankColumn::told(
            "least oxygen mg/L",
            "least oxygen (mg/L)",
            Kind::Dissolved,
            |one, _| one.least_oxygen_kg_per_m3.into(),
        )
        .keyed("least_oxygen_mg_per_l"),
        TankColumn::told("at", "at", Kind::Plain, |one, _| {
            clock(one.least_oxygen_time_s).into()
        })
        .keyed("least_oxygen_at"),
        TankColumn::paged("mean oxygen (mg/L)", Kind::Dissolved, |one, _| {
            one.mean_oxygen_kg_per_m3.into()
        })
        .keyed("mean_oxygen_mg_per_l"),
        TankColumn::told(
            "most CO2 mg/L",
            "most CO2 (mg/L)",
            Kind::Dissolved,
            |one, _| one.most_carbon_dioxide_kg_per_m3.into(),
        )
        .keyed("most_carbon_dioxide_mg_per_l"),
        TankColumn::told(
            "most TAN mg/L",
            "most TAN (mg/L)",
            Kind::Dissolved,
            |one, _| one.most_tan_kg_per_m3.into(),
        )
        .keyed("most_tan_mg_per_l"),
        TankColumn::told("total gas", "total gas", Kind::Percent(1), |one, _| {
            one.total_gas_pressure.into()
        })
        .keyed("total_gas_pressure_percent"),
        TankColumn::told(
            "without air to its limit",
            "without air to its limit",
            Kind::Plain,
            |one, _| one.time_to_limit_s.map(lasts).into(),
        ),
        TankColumn::saved("minutes_to_limit", Kind::Plain, |one, _| {
            one.time_to_limit_s.map(|time| time / 60.0).into()
        }),
        TankColumn::told("to survival", "to survival", Kind::Plain, |one, _| {
            one.time_to_survival_s.map(lasts).into()
        }),
        TankColumn::saved("minutes_to_survival", Kind::Plain, |one, _| {
            one.time_to_survival_s.map(|time| time / 60.0).into()
        }),
    ]
}

pub(super) fn changes() -> Vec<Column<LoopChangeFacts>> {
    vec![
        Column::told(
            "what if",
            "what if",
            Kind::Plain,
            |one: &LoopChangeFacts, units| one.words(units).into(),
        ),
        Column::told("holds", "holds", Kind::Plain, |one, _| {
            if one.holds { "yes" } else { "no" }.into()
        }),
        Column::told(
            "least oxygen mg/L",
            "least oxygen (mg/L)",
            Kind::Dissolved,
            |one, _| {
                one.least_oxygen
                    .as_ref()
                    .map(|least| least.oxygen_kg_per_m3)
                    .into()
            },
        ),
        Column::told("in", "in", Kind::Plain, |one, _| {
            one.least_oxygen.as_ref().map(|least| &least.tank).into()
        }),
        Column::told("at", "at", Kind::Plain, |one, _| {
            one.least_oxygen
                .as_ref()
                .map(|least| clock(least.time_s))
                .into()
        }),
        Column::told("governs", "governs", Kind::Plain, |one, _| {
            one.governs().into()
        }),
        Column::told("left", "left", Kind::Percent(1), |one, _| {
            one.governing.as_ref().map(|limit| limit.slack).into()
        }),
    ]
}

pub(super) fn choices() -> Vec<Column<LoopChoiceFacts>> {
    vec![
        Column::told(
            "lifts that hold",
            "lifts that hold",
            Kind::Count,
            |one: &LoopChoiceFacts, _| f64::from(one.lifts).into(),
        ),
        Column::told("water each", "water each", Kind::Water, |one, _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::told("air each", "air each", Kind::Air, |one, _| {
            one.air_mass_flow_kg_per_s.map(at_20_c).into()
        }),
        Column::told(
            "power of the air",
            "power of the air",
            Kind::Power,
            |one, _| one.air_power_w.into(),
        ),
        Column::told(
            "below best efficiency",
            "below best efficiency",
            Kind::Yes,
            |one, _| one.below_best_efficiency.unwrap_or_default().into(),
        ),
        Column::told("governs", "governs", Kind::Plain, |one, _| {
            one.governing
                .as_ref()
                .map(|limit| limit.limit.words())
                .into()
        }),
        Column::told("left", "left", Kind::Percent(1), |one, _| {
            one.governing.as_ref().map(|limit| limit.slack).into()
        }),
    ]
}

impl LoopSizeFacts {
    /// Why not fewer, or why no number holds.
    fn line(&self, units: UnitSystem) -> Option<Line> {
        let of = |limit: &Option<LoopLimitFacts>| {
            limit
                .as_ref()
                .map(LoopLimitFacts::words)
                .unwrap_or_default()
        };
        let short = match (self.more.as_deref(), self.choices.first()) {
            (None, Some(choice)) => {
                let fewer = choice.fewer?;
                let fails = of(&choice.fewer_fails);
                return Some(("Fewer", format!("{fewer} do not hold: {fails}")));
            }
            (Some("no_balance"), _) => {
                let short = self.shortage.as_ref().map(|short| short.words(units));
                format!("no number of lifts helps: {}", short.unwrap_or_default())
            }
            (Some("mean_fails"), _) => format!(
                "no number of lifts helps: with endless lifts the mean of the day has {}",
                of(&self.mean_fails)
            ),
            (Some("hardly"), _) => "more lifts hardly help".to_owned(),
            (Some("too_much_gas"), _) => "more lifts make the total gas pressure worse".to_owned(),
            (Some("at_least"), _) => format!(
                "{} lifts at least: with those the mean of the day holds, its worst hour may take more",
                self.at_least.unwrap_or_default()
            ),
            _ => "a lift gives no water, or none that is sure".to_owned(),
        };
        Some(("Short", short))
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

    fn words(&self, units: UnitSystem) -> String {
        let (size, unit) = units.exchange_unit();
        let rate = |kg_s: Option<f64>| format!("{:.1} {unit}", kg_s.unwrap_or_default() / size);
        match self.what.as_str() {
            "filter_overloaded" => format!(
                "ammonia: the animals give off {}, the filter takes {} at most",
                rate(self.excreted_kg_per_s),
                rate(self.most_kg_per_s)
            ),
            "nothing_takes_ammonia" => "ammonia: neither filter nor new water takes it".to_owned(),
            "nothing_exchanges" => format!(
                "{}: neither lifts, surface nor new water exchange it",
                self.gas.as_deref().unwrap_or_default()
            ),
            _ => match self.place.as_deref() {
                Some(AFTER_FILTER) => format!("oxygen runs out {AFTER_FILTER}"),
                tank => format!("oxygen runs out in {}", tank.unwrap_or_default()),
            },
        }
    }
}

impl LoopBudgetFacts {
    fn name(&self) -> String {
        match self.substance.as_str() {
            "tan" => LoopLimit::Tan.words().to_owned(),
            other => other.replace('_', " "),
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

    /// The answer, line by line.
    pub(super) fn lines(&self, units: UnitSystem) -> Vec<Line> {
        let stands = self
            .size
            .as_ref()
            .is_some_and(|size| size.more.as_deref() == Some("no_water"));
        let day = match (&self.shortage, self.holds, self.is_ceiling) {
            _ if stands => "it cannot balance: the lifts give no water that is sure".to_owned(),
            (Some(short), ..) => format!("it cannot balance: {}", short.words(units)),
            (None, true, false) => "every limit holds, through the worst hour too".to_owned(),
            (None, true, true) => {
                "every limit holds at the lifts' ceiling; the real loop is worse".to_owned()
            }
            (None, false, false) => "it does not hold".to_owned(),
            (None, false, true) => "it does not hold, not even at the lifts' ceiling".to_owned(),
        };
        let mut lines = vec![("Day", day)];
        lines.extend(self.governing.iter().map(|one| ("Governs", one.words())));
        if let Some(least) = &self.least_oxygen {
            let mut words = format!("least {}", least.words(units));
            if let Some(after) = self.after_filter_least_oxygen_kg_per_m3 {
                words += &format!("; {} behind the filter", dissolved(after, units));
            }
            lines.push(("Oxygen", words));
        }
        lines.push(("Lifts", self.lifts_words(units)));
        lines.extend(self.size.as_ref().and_then(|size| size.line(units)));
        if let Some(lost) = self.alkalinity_kg_per_s.filter(|lost| *lost > 0.0) {
            let a_day = |kg_per_s: f64| {
                let (size, unit) =
                    units.pick((1e-3 / 86_400.0, "g/d"), (POUND_KG / 86_400.0, "lb/d"));
                format!("{} {unit}", short(kg_per_s / size))
            };
            let words = format!(
                "{} of alkalinity as CaCO3 to make good, such as by {} of sodium bicarbonate",
                a_day(lost),
                a_day(lost * BICARBONATE_FOR_CARBONATE)
            );
            lines.push(("Base", words));
        }
        if let Some(stock) = &self.worst_hour_stock {
            lines.push(("Stock", self.stock_words(stock, units)));
        }
        lines
    }

    fn body(&self, units: UnitSystem, full: bool) -> String {
        let lines = self.lines(units).into_iter();
        let mut text: String = lines
            .map(|(name, words)| format!("{name:<8}{words}\n"))
            .collect();
        if !self.tanks.is_empty() {
            text += "\n";
            text += &text_table(&tanks(), &self.tanks, units);
        }
        if let Some(size) = self.size.as_ref().filter(|size| size.choices.len() > 1) {
            text += "\n";
            text += &text_table(&choices(), &size.choices, units);
            text += &format!("{CHOICES_NOTE}\n");
        }
        text += "\n";
        text += &text_table(&changes(), &self.changes, units);
        text += &format!("{WARMER_NOTE}\n");
        text += &self
            .bypass_words()
            .map(|words| words + "\n")
            .unwrap_or_default();
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

    /// The stock that the worst hour bears, and that of the mean of the day.
    fn stock_words(&self, worst: &StockFacts, units: UnitSystem) -> String {
        if worst.biomass_kg <= 0.0 {
            return "none could live".to_owned();
        }
        let mean = self
            .stock
            .as_ref()
            .filter(|mean| mean.factor > worst.factor);
        let mean = mean.map(|mean| {
            let mass = units.mass(base(mean.biomass_kg));
            format!("; {mass} by the mean of the day")
        });
        format!(
            "{} could live through the worst hour, {:.2} times what is there, bound by {}{}",
            units.mass(base(worst.biomass_kg)),
            worst.factor,
            worst.words(),
            mean.unwrap_or_default()
        )
    }

    /// How fast ammonia rises while the filter is bypassed, where nothing else takes it.
    pub(super) fn bypass_words(&self) -> Option<String> {
        let mut changes = self.changes.iter();
        changes.find(|one| one.change == "filter_bypassed" && one.shortage.is_some())?;
        let volume: f64 = self.tanks.iter().map(|tank| tank.volume_m3).sum();
        let tan = self.budget.iter().find(|one| one.substance == "tan")?;
        let rise = tan.animals_kg_per_s / volume * 86_400.0;
        // c = limit (1 - slack): what is left to the limit is c slack/(1 - slack).
        let left = self.tanks.iter().flat_map(|tank| {
            let limits = tank.limits.iter();
            let ammonia =
                limits.filter(|one| matches!(one.limit, LoopLimit::Tan | LoopLimit::Ammonia));
            ammonia.map(|one| tank.most_tan_kg_per_m3 * one.slack / (1.0 - one.slack))
        });
        let left = left.fold(f64::INFINITY, f64::min);
        let until = (left.is_finite() && left > 0.0 && rise > 0.0).then(|| {
            format!(
                ", and passes its limit after some {}",
                lasts(left / rise * 86_400.0)
            )
        });
        Some(format!(
            "Without the filter the ammonia rises by {} a day{}.",
            dissolved(rise, UnitSystem::Metric),
            until.unwrap_or_default()
        ))
    }

    fn lifts_words(&self, units: UnitSystem) -> String {
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
        format!("{}{each}{end}: {all} in all", self.lifts)
    }

    fn detail(&self, units: UnitSystem) -> String {
        let mut text = format!("\n{}\n", balance_title(units));
        text += &text_table(&budget(), &self.budget, units);
        text += &super::need::defaults_text(&self.defaults);
        text
    }
}

/// Head of the balance, with its unit.
pub(super) fn balance_title(units: UnitSystem) -> String {
    format!("Balance, mean of the day, {}", units.exchange_unit().1)
}

pub(super) fn budget() -> Vec<Column<LoopBudgetFacts>> {
    fn rate(kg_s: f64, units: UnitSystem) -> Cell {
        let value = kg_s / units.exchange_unit().0;
        if value.abs() < 0.005 {
            "0".into()
        } else {
            value.into()
        }
    }
    const RATE: Kind = Kind::Share(2);
    vec![
        Column::told(
            "substance",
            "substance",
            Kind::Plain,
            |one: &LoopBudgetFacts, _| one.name().into(),
        ),
        Column::told("animals", "animals", RATE, |one, units| {
            rate(one.animals_kg_per_s, units)
        }),
        Column::told("filter", "filter", RATE, |one, units| {
            rate(one.filter_kg_per_s, units)
        }),
        Column::told("lifts", "lifts", RATE, |one, units| {
            rate(one.lifts_kg_per_s, units)
        }),
        Column::told("surfaces", "surfaces", RATE, |one, units| {
            rate(one.surfaces_kg_per_s, units)
        }),
        Column::told("aerators", "aerators", RATE, |one, units| {
            rate(one.aerators_kg_per_s, units)
        }),
        Column::told("new water", "new water", RATE, |one, units| {
            rate(one.makeup_kg_per_s, units)
        }),
    ]
}
