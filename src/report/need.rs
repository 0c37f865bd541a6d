//! The need as text.

use super::kind::{Column, Kind, csv_table, text_table};
use super::number::{UnitSystem, short};
use super::wrapped;
use crate::answer::{
    DefaultFacts, LineFacts, NeedAnswer, NeedRangeFacts, RunningFacts, TankFacts, TankWeekFacts,
    WeekFacts,
};
use crate::units::base;

/// With more weeks than these, and no lifts to tell them apart, a row is a month.
const WEEKS_APART: usize = 30;

/// The most rows of weeks, and of tanks, in a short text.
const FEW_WEEKS: usize = 6;
const FEW_TANKS: usize = 4;

/// The lines of a need, each with whether it governs.
fn lines<'a>() -> [Column<(&'a LineFacts, bool)>; 5] {
    [
        Column::shown("line", Kind::Plain, |(one, _), _| {
            one.line.to_string().into()
        }),
        Column::shown("limit mg/L", Kind::Dissolved, |(one, _), _| {
            one.limit_kg_per_m3.into()
        }),
        Column::shown("entering mg/L", Kind::Dissolved, |(one, _), _| {
            one.entering_kg_per_m3.into()
        }),
        Column::shown("water", Kind::Water, |(one, _), _| {
            one.water_flow_m3_per_s.into()
        }),
        Column::shown("", Kind::Plain, |(_, governs), _| {
            if *governs { "governs" } else { "" }.into()
        }),
    ]
}

/// Weeks in a row as one: the largest need with its line, and the mean over their days.
struct Weeks<'a> {
    first: &'a WeekFacts,
    last: &'a WeekFacts,
    most: &'a WeekFacts,
    mean_m3_per_s: f64,
    /// The lifts of the week that lacks most, or runs most.
    running: Option<RunningFacts>,
}

impl<'a> Weeks<'a> {
    fn of(weeks: &'a [WeekFacts]) -> Option<Self> {
        let peak = |week: &WeekFacts| week.peak_flow_m3_per_s;
        let more = |a: &RunningFacts, b: &RunningFacts| {
            (a.missing_flow_m3_per_s, a.lifts) > (b.missing_flow_m3_per_s, b.lifts)
        };
        let days: usize = weeks.iter().map(|week| week.days).sum();
        let each = weeks.iter();
        let sum: f64 = each
            .map(|week| week.mean_flow_m3_per_s * week.days as f64)
            .sum();
        let running = weeks.iter().filter_map(|week| week.running);
        Some(Self {
            first: weeks.first()?,
            last: weeks.last()?,
            most: weeks
                .iter()
                .reduce(|a, b| if peak(b) > peak(a) { b } else { a })?,
            mean_m3_per_s: sum / days as f64,
            running: running.reduce(|a, b| if more(&b, &a) { b } else { a }),
        })
    }
}

/// Rows of weeks, and of the lifts that run in them.
fn weeks<'a>() -> [Column<Weeks<'a>>; 8] {
    [
        Column::shown("weeks", Kind::Plain, |row, _| {
            let (first, last) = (row.first.week, row.last.week);
            if first == last {
                first.to_string().into()
            } else {
                format!("{first} to {last}").into()
            }
        }),
        Column::shown("dates", Kind::Plain, |row, _| {
            format!("{} to {}", row.first.first, row.last.last).into()
        }),
        Column::shown("peak", Kind::Water, |row, _| {
            row.most.peak_flow_m3_per_s.into()
        }),
        Column::shown("line", Kind::Plain, |row, _| {
            let line = row.most.governing.map(|line| line.to_string());
            line.unwrap_or_else(|| "none".to_owned()).into()
        }),
        Column::shown("mean", Kind::Plain, |row, units| {
            flow(row.mean_m3_per_s, units).into()
        }),
        Column::shown("lifts", Kind::Count, |row, _| {
            row.running.map(|running| running.lifts).into()
        }),
        Column::shown("they give", Kind::Plain, |row, units| {
            let given = row.running.map(|running| running.lifts_flow_m3_per_s);
            given.map(|given| flow(given, units)).into()
        }),
        Column::shown("missing", Kind::Water, |row, _| {
            let missing = row
                .running
                .map_or(0.0, |running| running.missing_flow_m3_per_s);
            if missing > 0.0 {
                missing.into()
            } else {
                "".into()
            }
        }),
    ]
}

impl NeedAnswer {
    /// The answer for people in short: the need of the room, its tanks and weeks a row each. Cautions are not in it.
    #[must_use]
    pub fn text(&self, units: UnitSystem) -> String {
        let mut text = self.room_lines(units);
        let water = |tank: &&TankFacts| tank.need.water_flow_m3_per_s;
        let mut tanks: Vec<&TankFacts> = self.tanks.iter().collect();
        let mut rest = String::new();
        if tanks.len() > FEW_TANKS {
            tanks.sort_by(|a, b| water(b).total_cmp(&water(a)));
            let left = tanks.split_off(FEW_TANKS);
            let sum = left.iter().map(water).sum();
            rest = format!(
                "... and {} tanks that need less, {} together (-v)\n",
                left.len(),
                units.say(Kind::Water, sum)
            );
        }
        text += &format!("{}{rest}", text_table(&tank_columns(), &tanks, units));
        if !self.weeks.is_empty() {
            text += &self.weeks_text(units, FEW_WEEKS);
        }
        if !self.defaults.is_empty() {
            let assumed = self.defaults.len();
            text += &format!(
                "{assumed} defaults were taken, where the file says nothing: -v lists them.\n"
            );
        }
        wrapped(&text)
    }

    /// The answer for people with all that stands behind it: what each tank needs and for what, every default.
    #[must_use]
    pub fn full_text(&self, units: UnitSystem) -> String {
        let mut text = self.room_lines(units);
        text += "Means of the day: a peak after feeding is not in them.\n";
        if !self.weeks.is_empty() {
            text += &format!("\n{}", self.weeks_text(units, usize::MAX));
            text += &self.by_tank_text(units);
        }
        for tank in &self.tanks {
            text += &tank_text(tank, units);
        }
        wrapped(&(text + &defaults_text(&self.defaults)))
    }

    /// What the room needs, and the lifts that must run.
    fn room_lines(&self, units: UnitSystem) -> String {
        let mut text = format!(
            "Need    {} for the room",
            units.say(Kind::Water, self.water_flow_m3_per_s)
        );
        if let Some(date) = &self.peak_date {
            text += &format!(", on {date}");
        }
        if let Some(range) = &self.range {
            text += &range.words(units);
        }
        if let Some(running) = self.running {
            text += &format!("\nLifts   {}", lifts_words(running, units));
        }
        text + "\n"
    }

    /// Weeks in a row with as many lifts, and enough of them or not, are one row; without lifts, those of a month where
    /// there are many. The rows most alike are one until there are `most`.
    fn weeks_text(&self, units: UnitSystem, most: usize) -> String {
        let lifts = self.weeks.iter().any(|week| week.running.is_some());
        let by_month = self.weeks.len() > WEEKS_APART;
        // A date starts with year and month, of seven letters.
        let month = |week: &WeekFacts| week.first.chars().take(7).collect::<String>();
        let alike = |a: &WeekFacts, b: &WeekFacts| {
            if lifts {
                let count = |week: &WeekFacts| week.running.map(|running| running.lifts);
                count(a) == count(b) && a.is_short() == b.is_short()
            } else {
                by_month && month(a) == month(b)
            }
        };
        let mut lengths: Vec<usize> = self.weeks.chunk_by(alike).map(<[_]>::len).collect();
        while lengths.len() > most.max(1) {
            let rows = rows(&self.weeks, &lengths);
            let peak = |n: usize| rows.get(n).map_or(0.0, |row| row.most.peak_flow_m3_per_s);
            let apart = |n: &usize| {
                let is_short = |n: usize| rows.get(n).is_some_and(|row| row.last.is_short());
                let verdict = is_short(*n) != is_short(n + 1);
                (verdict, (peak(n + 1) - peak(*n)).abs())
            };
            let nearest = (0..lengths.len() - 1).min_by(|a, b| {
                let (a, b) = (apart(a), apart(b));
                a.0.cmp(&b.0).then(a.1.total_cmp(&b.1))
            });
            let n = nearest.unwrap_or_default();
            lengths[n] += lengths.remove(n + 1);
        }
        let columns = weeks();
        let shown = if lifts { &columns[..] } else { &columns[..5] };
        text_table(shown, &rows(&self.weeks, &lengths), units)
    }

    /// The largest need of each week by tank, as many tanks side by side as fit.
    fn by_tank_text(&self, units: UnitSystem) -> String {
        /// Tanks side by side, and the most letters of a name above its column.
        const SIDE_BY_SIDE: usize = 5;
        const LETTERS: usize = 11;
        if self.tanks.len() < 2 {
            return String::new();
        }
        let places: Vec<usize> = (0..self.tanks.len()).collect();
        let mut text = format!(
            "\nLargest need of each week by tank, {} (--csv has means and lines too)\n",
            units.water_unit().1
        );
        for block in places.chunks(SIDE_BY_SIDE) {
            text += &format!("{:>4}  {:<24}", "week", "dates");
            for n in block {
                let name: String = self.tanks[*n].name.chars().take(LETTERS).collect();
                text += &format!(" {name:>LETTERS$}");
            }
            text.push('\n');
            for week in &self.weeks {
                let dates = format!("{} to {}", week.first, week.last);
                text += &format!("{:>4}  {dates:<24}", week.week);
                for tank in block.iter().filter_map(|n| week.tanks.get(*n)) {
                    text += &format!(" {:>LETTERS$}", flow(tank.peak_flow_m3_per_s, units));
                }
                text.push('\n');
            }
        }
        text
    }

    /// CSV: of each week each tank a row, or, where no tank follows a cycle, of each tank.
    #[must_use]
    pub fn csv(&self, units: UnitSystem) -> String {
        if self.weeks.is_empty() {
            let rows: Vec<&TankFacts> = self.tanks.iter().collect();
            return csv_table(&tank_columns(), &rows, units);
        }
        let rows: Vec<TankWeek> = self
            .weeks
            .iter()
            .flat_map(|week| week.tanks.iter().map(move |tank| (week, tank)))
            .collect();
        csv_table(&week_tanks(), &rows, units)
    }
}

impl NeedRangeFacts {
    /// What the need could be, and without bacteria.
    fn words(&self, units: UnitSystem) -> String {
        let span = |least: Option<f64>, most: Option<f64>| match (least, most) {
            (Some(least), Some(most)) => {
                format!("{} to {}", flow(least, units), units.say(Kind::Water, most))
            }
            (Some(least), None) => format!(
                "from {} to where no flow holds the limits",
                units.say(Kind::Water, least)
            ),
            _ => "no flow holds the limits".to_owned(),
        };
        let mut text = match self.factors.first() {
            None => "\nRange   not known: no source gives a spread of what it rests on".to_owned(),
            Some(widest) => format!(
                "\nRange   {} with the defaults anywhere in the spread of their sources; {} alone: {}",
                span(self.least_m3_per_s, self.most_m3_per_s),
                widest.name,
                span(widest.least_m3_per_s, widest.most_m3_per_s),
            ),
        };
        if !self.without_spread.is_empty() {
            text += &format!(
                "; no source has a spread of {}: measure",
                self.without_spread.join(", ")
            );
        }
        if let Some(bare) = self.without_bacteria_m3_per_s {
            text += &format!(
                "\nBare    {} without bacteria, as where water passes once (need.bacteria = false)",
                units.say(Kind::Water, bare)
            );
        }
        text
    }
}

impl DefaultFacts {
    /// What was taken, and its spread, source and meaning.
    pub(super) fn words(&self) -> [String; 2] {
        let source = self.source.map_or("no source", |source| source.key);
        let space = if self.unit.is_empty() { "" } else { " " };
        [
            format!("{}: {}{space}{}", self.name, self.value, self.unit),
            format!(
                "({} to {}); {source}, {}; {}",
                self.low, self.high, self.trust, self.note
            ),
        ]
    }
}

/// Every default that was taken, with its spread and source.
pub(super) fn defaults_text(defaults: &[DefaultFacts]) -> String {
    let mut text = String::new();
    if !defaults.is_empty() {
        text += "\nDefaults, where nothing was given:\n";
    }
    for one in defaults {
        text += &format!("{}\n", one.words().join(" "));
    }
    text
}

/// Rows of so many weeks each.
fn rows<'a>(weeks: &'a [WeekFacts], lengths: &[usize]) -> Vec<Weeks<'a>> {
    let mut rest = weeks;
    let rows = lengths.iter().filter_map(|length| {
        let (row, left) = rest.split_at_checked(*length)?;
        rest = left;
        Weeks::of(row)
    });
    rows.collect()
}

/// A week, and a tank in it.
type TankWeek<'a> = (&'a WeekFacts, &'a TankWeekFacts);

fn week_tanks<'a>() -> [Column<TankWeek<'a>>; 7] {
    [
        Column::saved("week", Kind::Count, |(week, _), _| week.week.into()),
        Column::saved("first", Kind::Plain, |(week, _), _| (&week.first).into()),
        Column::saved("last", Kind::Plain, |(week, _), _| (&week.last).into()),
        Column::saved("tank", Kind::Plain, |(_, tank), _| (&tank.tank).into()),
        Column::saved("peak_{}", Kind::Water, |(_, tank), _| {
            tank.peak_flow_m3_per_s.into()
        }),
        Column::saved("mean_{}", Kind::Water, |(_, tank), _| {
            tank.mean_flow_m3_per_s.into()
        }),
        Column::saved("line", Kind::Plain, |(_, tank), _| {
            tank.governing.map(|line| line.to_string()).into()
        }),
    ]
}

/// Tanks, a row each.
fn tank_columns<'a>() -> [Column<&'a TankFacts>; 8] {
    [
        Column::new("tank", "tank", Kind::Plain, |tank, _| (&tank.name).into()),
        Column::new("most on", "date", Kind::Plain, |tank, _| {
            tank.date.as_deref().into()
        }),
        Column::shown("animals", Kind::Plain, |tank, units| {
            units.mass(base(tank.biomass_kg)).into()
        }),
        Column::saved("animals_kg", Kind::Share(3), |tank, _| {
            tank.biomass_kg.into()
        }),
        Column::shown("feed", Kind::Plain, |tank, units| {
            units.mass_a_day(base(tank.need.feed_kg_per_s)).into()
        }),
        Column::saved("feed_kg_per_d", Kind::Share(3), |tank, _| {
            (86400.0 * tank.need.feed_kg_per_s).into()
        }),
        Column::new("water", "water_{}", Kind::Water, |tank, _| {
            tank.need.water_flow_m3_per_s.into()
        }),
        Column::new("it is for", "line", Kind::Plain, |tank, _| {
            let line = tank.need.governing.map(|line| line.to_string());
            line.unwrap_or_else(|| "nothing".to_owned()).into()
        }),
    ]
}

/// What a tank needs, and for what.
fn tank_text(tank: &TankFacts, units: UnitSystem) -> String {
    let mass = |kg_per_s| units.mass_a_day(base(kg_per_s));
    let need = &tank.need;
    let on = tank.date.as_ref().map_or_else(String::new, |date| {
        format!(", on {date}, the day of its largest need")
    });
    let volume = tank.volume_m3.map_or_else(String::new, |volume| {
        format!(", {} of it", units.volume(base(volume)))
    });
    let mut text = format!(
        "\nTank    {}{on}\nStock   {} of animals; water {}{volume}\nLoad    feed {}, oxygen {}, TAN {}, carbon dioxide {}, solids {}\n",
        tank.name,
        units.mass(base(tank.biomass_kg)),
        units.temperature(base(tank.water_temperature_k)),
        mass(need.feed_kg_per_s),
        mass(need.oxygen_kg_per_s),
        mass(need.tan_kg_per_s),
        mass(need.carbon_dioxide_kg_per_s),
        mass(need.solids_kg_per_s),
    );
    if let Some(makeup) = tank.makeup_flow_m3_per_s {
        text += &format!(
            "New     {} of makeup water, beside what is needed below\n",
            units.say(Kind::Water, makeup)
        );
    }
    let each = need.lines.iter();
    let rows: Vec<_> = each
        .map(|one| (one, need.governing == Some(one.line)))
        .collect();
    text + &text_table(&lines(), &rows, units)
}

fn flow(m3_per_s: f64, units: UnitSystem) -> String {
    short(m3_per_s / units.water_unit().0)
}

fn lifts_words(running: RunningFacts, units: UnitSystem) -> String {
    let count = match running.lifts {
        1 => "1 lift gives".to_owned(),
        lifts => format!("{lifts} lifts give"),
    };
    let given = units.say(Kind::Water, running.lifts_flow_m3_per_s);
    if running.missing_flow_m3_per_s > 0.0 {
        format!("{count} {given}; {}", missing_words(running, units))
    } else {
        format!("{count} {given}")
    }
}

fn missing_words(running: RunningFacts, units: UnitSystem) -> String {
    let missing = units.say(Kind::Water, running.missing_flow_m3_per_s);
    format!("NOT ENOUGH, {missing} missing")
}
