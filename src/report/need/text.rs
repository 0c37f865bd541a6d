//! The need as text.

use super::super::number::{UnitSystem, short};
use super::super::table;
use super::NeedReport;
use crate::need::{DayFlow, Line, Need, Requirement, Running, Week, WeekOfLifts};
use crate::units::{MassConcentration, base, milligram_per_liter};

/// With more weeks than these, and no lifts to tell them apart, a row is a month.
const WEEKS_APART: usize = 30;

impl NeedReport {
    /// Text for people; cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = String::new();
        for (tank, day) in self.need.tanks.iter().zip(&self.tanks) {
            let load = &tank.need.load;
            let on = tank
                .date
                .map(|date| format!(", on {date}, the day of its largest need"))
                .unwrap_or_default();
            let volume = day
                .volume
                .map(|volume| format!(", {} of it", units.volume(volume)))
                .unwrap_or_default();
            text += &format!(
                "Tank    {}{on}\nStock   {} of animals; water {}{volume}\n",
                tank.name,
                units.mass(day.biomass),
                units.temperature(day.temperature)
            );
            text += &format!(
                "Load    feed {}, oxygen {}, TAN {}, carbon dioxide {}, solids {}\n\n",
                units.mass_a_day(load.feed),
                units.mass_a_day(load.oxygen),
                units.mass_a_day(load.tan),
                units.mass_a_day(load.carbon_dioxide),
                units.mass_a_day(load.solids),
            );
            if let Some(makeup) = day.makeup {
                text += &format!(
                    "New     {} of makeup water, beside what is needed below\n\n",
                    units.water(makeup)
                );
            }
            let header = [
                "line",
                "limit mg/L",
                "entering mg/L",
                &format!("water {}", units.water_unit().1),
                "",
            ];
            let rows = tank.need.requirements.iter();
            text += &table(header, rows.map(|one| line_row(one, &tank.need, units)));
            text += "\n";
        }
        text += &format!("Need    {} for the room", units.water(self.need.flow()));
        if let Some(peak) = self.need.peak() {
            text += &format!(", on {}", peak.date);
        }
        if let Some(running) = &self.running {
            text += &format!("\nLifts   {}", lifts_words(running, units));
        }
        text += "\nMeans of the day: a peak after feeding is not in them.\n";
        let weeks = match &self.lifts {
            Some(lifts) => self.rows_of_lifts(lifts, units),
            None if self.weeks.is_empty() => String::new(),
            None => self.rows_of_weeks(units),
        };
        if !weeks.is_empty() {
            text += &format!("\n{weeks}");
        }
        text + &self.defaults_text()
    }

    /// Weeks in a row with as many lifts, and enough of them or not, are one row.
    fn rows_of_lifts(&self, lifts: &[WeekOfLifts], units: UnitSystem) -> String {
        let short = |one: &WeekOfLifts| one.running.missing > base(0.0);
        let runs =
            lifts.chunk_by(|a, b| a.running.lifts == b.running.lifts && short(a) == short(b));
        let unit = units.water_unit().1;
        let header = [
            "weeks",
            "dates",
            &format!("peak {unit}"),
            "line",
            "mean",
            "lifts",
            "they give",
            "",
        ];
        let rows = runs.filter_map(|run| {
            let weeks: Vec<Week> = run.iter().map(|one| one.week).collect();
            let [number, dates, peak, line, mean] = self.row(&weeks, units)?;
            let most = run
                .iter()
                .map(|one| one.running)
                .reduce(|a, b| if b.missing > a.missing { b } else { a })?;
            let given = short(run.first()?).then(|| missing_words(&most, units));
            Some([
                number,
                dates,
                peak,
                line,
                mean,
                most.lifts.to_string(),
                flow(most.flow.value, units),
                given.unwrap_or_default(),
            ])
        });
        table(header, rows)
    }

    fn rows_of_weeks(&self, units: UnitSystem) -> String {
        let by_month = self.weeks.len() > WEEKS_APART;
        let month = |week: &Week| (week.first.year(), week.first.month());
        let runs = self.weeks.chunk_by(|a, b| by_month && month(a) == month(b));
        let header = [
            "weeks",
            "dates",
            &format!("peak {}", units.water_unit().1),
            "line",
            "mean",
        ];
        table(header, runs.filter_map(|run| self.row(run, units)))
    }

    /// Weeks in a row as one: the largest need with its line, and the mean over their days.
    fn row(&self, weeks: &[Week], units: UnitSystem) -> Option<[String; 5]> {
        let (first, last) = (weeks.first()?, weeks.last()?);
        let most = weeks
            .iter()
            .reduce(|a, b| if b.peak > a.peak { b } else { a })?;
        let days = self.need.days.iter().skip(7 * (first.number - 1));
        let days: Vec<&DayFlow> = days.take_while(|day| day.date <= last.last).collect();
        let sum: f64 = days.iter().map(|day| day.flow.value).sum();
        let number = if weeks.len() == 1 {
            first.number.to_string()
        } else {
            format!("{} to {}", first.number, last.number)
        };
        Some([
            number,
            format!("{} to {}", first.first, last.last),
            flow(most.peak.value, units),
            most.governing
                .map_or("none".to_owned(), |line| line.to_string()),
            flow(sum / days.len() as f64, units),
        ])
    }

    fn defaults_text(&self) -> String {
        let mut text = String::new();
        if !self.defaults.is_empty() {
            text += "\nDefaults, where nothing was given:\n";
        }
        for one in &self.defaults {
            let source = one.reference.map_or("no source", |source| source.key);
            let unit = if one.unit.is_empty() {
                String::new()
            } else {
                format!(" {}", one.unit)
            };
            text += &format!(
                "{}: {}{unit} ({} to {}); {source}, {}; {}\n",
                one.name, one.value, one.low, one.high, one.trust, one.note
            );
        }
        text
    }
}

fn flow(si: f64, units: UnitSystem) -> String {
    short(si / units.water_unit().0)
}

fn lifts_words(running: &Running, units: UnitSystem) -> String {
    let count = match running.lifts {
        1 => "1 lift gives".to_owned(),
        lifts => format!("{lifts} lifts give"),
    };
    let mut words = format!("{count} {}", units.water(running.flow));
    if running.missing > base(0.0) {
        words += &format!("; {}", missing_words(running, units));
    }
    words
}

fn missing_words(running: &Running, units: UnitSystem) -> String {
    format!("NOT ENOUGH, {} missing", units.water(running.missing))
}

fn line_row(one: &Requirement, need: &Need, units: UnitSystem) -> [String; 5] {
    let mg_l = |of: Option<MassConcentration>| {
        of.map_or("-".to_owned(), |value| {
            short(value.get::<milligram_per_liter>())
        })
    };
    let governs = need.governing() == Some(one.line);
    [
        Line::to_string(&one.line),
        mg_l(one.balance.map(|b| b.tank)),
        mg_l(one.balance.map(|b| b.entering)),
        flow(one.flow.value, units),
        if governs { "governs" } else { "" }.to_owned(),
    ]
}
