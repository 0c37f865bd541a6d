//! The figure of a day of a loop: what its tanks hold from midnight to midnight.

use super::draw::{self, Stack};
use super::flow_curve::digits;
use super::{Axis, Band, BandPoint, Chart, ChartError, Ink, Label, Marks, Polyline, Shape, Stroke};
use crate::error::Error;
use crate::gas::{Gas, saturation};
use crate::need::Limits;
use crate::recirculation::{
    Day, DayPlan, Extreme, LimitCheck, Loop, LoopLimit, Solutes, TankDay, Timer,
};
use crate::units::{MassConcentration, Time, UnitSystem, milligram_per_liter, minute, percent};

/// Colours of the tanks with the least slack, the least first. The others are grey.
const INKS: [Ink; 4] = [Ink::Vermilion, Ink::Blue, Ink::Green, Ink::Purple];
/// Courses nearer to each other than this part of the axis are one line.
const ONE_LINE: f64 = 0.006;
/// Corners nearer to the straight line between their neighbours than this part of the axis are left out.
const STRAIGHT: f64 = 0.001;
/// Names of one line; the rest is counted.
const NAMES: usize = 3;
/// Letters of a name.
const LETTERS: usize = 24;
/// Timers named in the legend; the rest is counted.
const TIMERS: usize = 4;
/// An edge of a band beyond every frame.
const BEYOND: f64 = 1e9;
const DAY_H: f64 = 24.0;

/// Oxygen, free carbon dioxide and ammonia of the tanks of a loop over the hours of a day, one panel below the other,
/// with their limits, the meals and the lifts that stand.
///
/// # Examples
/// ```
/// use risewater::chart::DayFigure;
/// use risewater::gas::{Conditions, Dissolved};
/// use risewater::recirculation::*;
/// use risewater::units::*;
///
/// // A made-up tank.
/// let air = Conditions::fresh(
///     ThermodynamicTemperature::new::<degree_celsius>(18.0),
///     AbsolutePressure::STANDARD_ATMOSPHERE,
/// );
/// let g_h = MassRate::new::<gram_per_hour>;
/// let load = TankLoad { oxygen: g_h(40.0), carbon_dioxide: g_h(50.0), tan: g_h(0.0) };
/// let tank = LoopTank::new("fry", Volume::new::<cubic_meter>(40.0), load);
/// let lifts = LiftGroup::new(
///     "all",
///     12,
///     VolumeRate::new::<cubic_meter_per_hour>(5.0),
///     LiftExchange::part(Ratio::new::<ratio>(0.3), Dissolved::saturated(&air)?),
/// );
/// let of = Loop::new(air, vec![tank], None, vec![lifts]);
/// let plan = DayPlan::new(Feeding::even());
/// let outcome = of.day(&plan)?;
/// let found = outcome.day().expect("it balances");
/// let figure = DayFigure::of(&of, found, &plan, UnitSystem::Metric)?;
/// // Benson & Krause (1984) have 9.467 mg/L at 18 °C.
/// assert!(figure.svg()?.contains("saturation 9.47 mg/L at 18 °C"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DayFigure {
    /// Headline.
    pub title: String,
    /// Lines under the headline: which limit is nearest.
    pub notes: Vec<String>,
    /// What the picture shows, for a reader who cannot see it.
    pub description: String,
    /// Oxygen, carbon dioxide and ammonia, in mg/L over the hours since midnight.
    pub panels: [Chart; 3],
    /// When a tank is fed, in hours since midnight.
    pub meals: Vec<f64>,
}

/// What a panel shows.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Substance {
    Oxygen,
    CarbonDioxide,
    Ammonia,
}

impl Substance {
    const ALL: [Self; 3] = [Self::Oxygen, Self::CarbonDioxide, Self::Ammonia];

    fn name(self) -> &'static str {
        match self {
            Self::Oxygen => "Oxygen (mg/L)",
            Self::CarbonDioxide => "Free carbon dioxide (mg/L)",
            Self::Ammonia => "Total ammonia nitrogen (mg/L)",
        }
    }

    fn held(self, by: &Solutes) -> f64 {
        mg_l(match self {
            Self::Oxygen => by.gases.oxygen,
            Self::CarbonDioxide => by.gases.carbon_dioxide,
            Self::Ammonia => by.tan,
        })
    }

    fn limit(self, of: &Limits) -> Option<f64> {
        let limit = match self {
            Self::Oxygen => of.oxygen,
            Self::CarbonDioxide => of.carbon_dioxide,
            Self::Ammonia => of.tan,
        };
        limit.map(mg_l)
    }

    fn worst(self, of: &TankDay) -> Extreme {
        match self {
            Self::Oxygen => of.least_oxygen,
            Self::CarbonDioxide => of.most_carbon_dioxide,
            Self::Ammonia => of.most_tan,
        }
    }

    /// The panel in which a limit shows.
    fn of(limit: LoopLimit) -> Option<Self> {
        match limit {
            LoopLimit::Oxygen => Some(Self::Oxygen),
            LoopLimit::CarbonDioxide => Some(Self::CarbonDioxide),
            LoopLimit::Tan | LoopLimit::Ammonia => Some(Self::Ammonia),
            LoopLimit::Turnover | LoopLimit::TotalGasPressure => None,
        }
    }
}

/// A tank: its place, its name, its day.
#[derive(Debug, Clone, Copy)]
struct Tank<'a> {
    place: usize,
    name: &'a str,
    limits: &'a Limits,
    day: &'a TankDay,
}

impl Tank<'_> {
    fn slack(&self) -> f64 {
        let each = self.day.limits.iter().map(|one| one.0.slack.value);
        each.fold(f64::INFINITY, f64::min)
    }
}

/// Tanks that are one line, the one with the least slack first.
type Together<'a> = Vec<Tank<'a>>;

impl DayFigure {
    /// The figure of a loop's day.
    ///
    /// # Errors
    /// As [`saturation`].
    pub fn of(of: &Loop, day: &Day, plan: &DayPlan, units: UnitSystem) -> Result<Self, Error> {
        let saturated = mg_l(saturation(Gas::Oxygen, &of.air)?);
        let warmth = units.temperature_to(1, of.air.temperature);
        let warmth = warmth.replace(".0 ", " ").replace("deg", "°");
        let saturation = (
            saturated,
            format!("saturation {} mg/L at {warmth}", shown(saturated)),
        );
        let courses = Courses::new(of, day, saturated);
        let groups = courses.groups(&Substance::ALL, courses.ranked());
        let panels =
            Substance::ALL.map(|what| courses.panel(what, &groups, &saturation, day.governing()));
        let mut figure = Self {
            title: "A day of the loop".to_owned(),
            notes: vec![nearest(of, day)],
            description: String::new(),
            panels,
            meals: meals(plan),
        };
        figure.add_timers(of, plan);
        figure.add_dark(plan);
        figure.add_legend(&groups, plan);
        figure.description = figure.words(&courses.tanks, &saturation.1);
        Ok(figure)
    }

    /// The picture as an SVG document, nominally 800 wide.
    ///
    /// # Errors
    /// As [`Chart::svg`].
    pub fn svg(&self) -> Result<String, ChartError> {
        self.drawn(&draw::WIDE)
    }

    /// The same for a narrow screen: nominally 380 wide, with type of the same size.
    ///
    /// # Errors
    /// As [`Chart::svg`].
    pub fn narrow_svg(&self) -> Result<String, ChartError> {
        self.drawn(&draw::NARROW)
    }

    fn drawn(&self, size: &draw::Size) -> Result<String, ChartError> {
        let mut panels = self.panels.clone();
        panels[0].title.clone_from(&self.title);
        panels[0].notes.clone_from(&self.notes);
        panels[0].description.clone_from(&self.description);
        panels.iter().try_for_each(Chart::check)?;
        super::check(super::ChartPart::Axis, 0, 0, &self.meals)?;
        let stack = Stack {
            panels: &panels,
            marked: &self.meals,
        };
        Ok(draw::stacked(&stack, size))
    }

    /// Shades the hours in which lifts stand, in all panels; named in the first.
    fn add_timers(&mut self, of: &Loop, plan: &DayPlan) {
        for (n, timer) in plan.timers.iter().enumerate() {
            let left = plan.timers.len() - TIMERS.min(plan.timers.len());
            let name = match n {
                n if n < TIMERS => standing(of, timer),
                n if n == TIMERS => format!("lifts off at {left} more times"),
                _ => String::new(),
            };
            self.shade(shaded(timer.from, timer.to), &name, Ink::Grey);
        }
    }

    /// Shades the hours of dark, where animals take another share in them.
    fn add_dark(&mut self, plan: &DayPlan) {
        let lights = plan.feeding.iter().filter_map(|feeding| feeding.light);
        let changing = lights.filter(|light| light.length().value > 0.0);
        let mut dark: Vec<(Time, Time)> = changing.map(|light| (light.off, light.on)).collect();
        dark.dedup();
        for (n, (from, to)) in dark.into_iter().enumerate() {
            let name = match n {
                0 => format!("dark {} to {}", clock(hours(from)), clock(hours(to))),
                1 => "dark in other tanks".to_owned(),
                _ => String::new(),
            };
            self.shade(shaded(from, to), &name, Ink::Blue);
        }
    }

    /// Shades hours in all panels, named in the first.
    fn shade(&mut self, hours: Vec<(f64, f64)>, name: &str, ink: Ink) {
        for (place, (from, to)) in hours.into_iter().enumerate() {
            for (panel, chart) in self.panels.iter_mut().enumerate() {
                let is_named = place == 0 && panel == 0;
                let label = if is_named { name } else { "" };
                chart.bands.push(Band {
                    label: label.to_owned(),
                    points: [from, to]
                        .map(|x| BandPoint {
                            x,
                            low: -BEYOND,
                            high: BEYOND,
                        })
                        .to_vec(),
                    ink,
                });
            }
        }
    }

    /// Names what has no name in a panel: the tanks in grey and the meals.
    fn add_legend(&mut self, groups: &[Together], plan: &DayPlan) {
        let first = &mut self.panels[0];
        let others: Vec<Tank> = groups.iter().skip(INKS.len()).flatten().copied().collect();
        if !others.is_empty() {
            let names: Vec<String> = others.iter().map(|tank| short_name(tank.name)).collect();
            first.lines.push(Polyline {
                label: Label::Legend(names.join(", ")),
                points: Vec::new(),
                ink: Ink::Grey,
                stroke: Stroke::Thin,
            });
        }
        if !self.meals.is_empty() {
            let is_one = plan
                .feeding
                .windows(2)
                .all(|two| two[0].meals == two[1].meals);
            let name = if is_one {
                "meal"
            } else {
                "meal of one tank or more"
            };
            first.marks.push(Marks {
                label: Label::Legend(name.to_owned()),
                points: Vec::new(),
                ink: Ink::Black,
                shape: Shape::Pointer,
            });
        }
    }

    fn words(&self, tanks: &[Tank], saturation: &str) -> String {
        let mut words = vec![format!(
            "Oxygen, free carbon dioxide and total ammonia nitrogen (mg/L) over the hours of a day"
        )];
        words.extend(
            self.notes
                .iter()
                .map(|note| note.trim_end_matches('.').to_owned()),
        );
        words.push(saturation.to_owned());
        for tank in tanks {
            let worst = Substance::ALL.map(|what| worst(&what.worst(tank.day)));
            let [oxygen, carbon_dioxide, ammonia] = worst;
            words.push(format!(
                "{}: oxygen at least {oxygen}, carbon dioxide at most {carbon_dioxide}, \
                 ammonia nitrogen at most {ammonia}",
                tank.name
            ));
        }
        if !self.meals.is_empty() {
            let times: Vec<String> = self.meals.iter().map(|hour| clock(*hour)).collect();
            words.push(format!("meals at {}", times.join(", ")));
        }
        let bands = self.panels[0].bands.iter().map(|band| &band.label);
        words.extend(bands.filter(|name| !name.is_empty()).cloned());
        words.join("; ")
    }
}

/// What all tanks hold over the hours.
struct Courses<'a> {
    tanks: Vec<Tank<'a>>,
    day: &'a Day,
    /// Height of each panel's axis, about.
    spans: [f64; 3],
}

impl<'a> Courses<'a> {
    fn new(of: &'a Loop, day: &'a Day, saturated: f64) -> Self {
        let tanks = of.tanks.iter().zip(&day.tanks).enumerate();
        let tanks: Vec<Tank> = tanks
            .map(|(place, (tank, day))| Tank {
                place,
                name: &tank.name,
                limits: &tank.limits,
                day,
            })
            .collect();
        let spans = Substance::ALL.map(|what| {
            let held = day.samples.iter().flat_map(|sample| &sample.tanks);
            let limits = tanks.iter().filter_map(|tank| what.limit(tank.limits));
            let base = if what == Substance::Oxygen {
                saturated
            } else {
                0.0
            };
            let all = held.map(|held| what.held(held)).chain(limits);
            let (low, high) = all.fold((base, base), |(low, high), v| (low.min(v), high.max(v)));
            high - low
        });
        Self { tanks, day, spans }
    }

    /// The tanks, the one with the least slack first; without limits, with the least oxygen.
    fn ranked(&self) -> Vec<Together<'a>> {
        let mut ranked = self.tanks.clone();
        let oxygen = |tank: &Tank| tank.day.least_oxygen.value.value;
        ranked.sort_by(|a, b| {
            let by_slack = a.slack().total_cmp(&b.slack());
            by_slack.then(oxygen(a).total_cmp(&oxygen(b)))
        });
        ranked.into_iter().map(|tank| vec![tank]).collect()
    }

    /// What a tank holds of a substance over the hours.
    fn course(&self, tank: &Tank, what: Substance) -> Vec<(f64, f64)> {
        let samples = self.day.samples.iter();
        let points = samples.filter_map(|sample| {
            let held = sample.tanks.get(tank.place)?;
            Some((hours(sample.time), what.held(held)))
        });
        points.collect()
    }

    /// Groups joined where their first tanks are one line in all these panels.
    fn groups(&self, panels: &[Substance], apart: Vec<Together<'a>>) -> Vec<Together<'a>> {
        let is_one = |a: &Tank, b: &Tank| {
            panels.iter().all(|&what| {
                let near = ONE_LINE * self.spans[what as usize];
                let samples = self.day.samples.iter();
                samples
                    .filter_map(|one| one.tanks.get(a.place).zip(one.tanks.get(b.place)))
                    .all(|(a, b)| (what.held(a) - what.held(b)).abs() <= near)
            })
        };
        let mut groups: Vec<Together> = Vec::new();
        for own in apart {
            match groups.iter_mut().find(|group| is_one(&group[0], &own[0])) {
                Some(group) => group.extend(own),
                None => groups.push(own),
            }
        }
        groups
    }

    fn panel(
        &self,
        what: Substance,
        groups: &[Together<'a>],
        saturation: &(f64, String),
        governing: Option<(usize, LimitCheck, Time)>,
    ) -> Chart {
        let ink = |tank: &Tank| {
            let group = groups
                .iter()
                .position(|group| group.iter().any(|one| one.place == tank.place));
            group.and_then(|n| INKS.get(n)).copied()
        };
        let mut lines = Vec::new();
        let span = self.spans[what as usize];
        // The least slack comes last: it lies on top.
        for group in self.groups(&[what], groups.to_vec()).iter().rev() {
            let ink = ink(&group[0]);
            lines.push(Polyline {
                label: match ink {
                    Some(_) => Label::Keyed(self.together(group)),
                    None => Label::None,
                },
                points: thinned(&self.course(&group[0], what), STRAIGHT * span),
                ink: ink.unwrap_or(Ink::Grey),
                stroke: match ink {
                    Some(_) => Stroke::Solid,
                    None => Stroke::Thin,
                },
            });
        }
        lines.extend(self.limits(what));
        if what == Substance::Oxygen {
            lines.push(level(saturation.0, &saturation.1, Stroke::Dotted));
        }
        let limits = self.tanks.iter();
        let limits = limits.filter_map(|tank| what.limit(tank.limits));
        let marks = self.worst(what, governing).into_iter().map(|tank| {
            let extreme = what.worst(tank.day);
            Marks {
                label: Label::Beside(format!("{} {}", short_name(tank.name), worst(&extreme))),
                points: vec![(hours(extreme.at), mg_l(extreme.value))],
                ink: ink(&tank).unwrap_or(Ink::Black),
                shape: Shape::Disc,
            }
        });
        Chart {
            x: Axis {
                label: "Time of day".to_owned(),
                covers: vec![0.0, DAY_H],
                from: None,
            },
            y: Axis {
                label: what.name().to_owned(),
                // Room above the limits, so that their lines do not fall on the frame.
                covers: match what {
                    Substance::Oxygen => Vec::new(),
                    _ => limits.map(|limit| 1.02 * limit).chain([0.0]).collect(),
                },
                from: None,
            },
            marks: marks.collect(),
            lines,
            ..Chart::default()
        }
    }

    /// Tanks whose worst moment is marked: the one that governs the day, and the worst of all where that is another
    /// moment.
    fn worst(
        &self,
        what: Substance,
        governing: Option<(usize, LimitCheck, Time)>,
    ) -> Vec<Tank<'a>> {
        let sign = if what == Substance::Oxygen { 1.0 } else { -1.0 };
        let value = |tank: &Tank| sign * mg_l(what.worst(tank.day).value);
        let all = self.tanks.iter().copied();
        let worst = all.reduce(|a, b| if value(&b) < value(&a) { b } else { a });
        let governing = governing.filter(|one| Substance::of(one.1.what) == Some(what));
        let governing = governing.and_then(|(n, ..)| self.tanks.get(n).copied());
        let near = ONE_LINE * self.spans[what as usize];
        let is_other = |tank: &Tank| {
            governing.is_none_or(|other| {
                let at = |tank: &Tank| hours(what.worst(tank.day).at);
                (value(tank) - value(&other)).abs() > near
                    || (at(tank) - at(&other)).abs() > ONE_LINE * DAY_H
            })
        };
        governing
            .into_iter()
            .chain(worst.filter(is_other))
            .collect()
    }

    /// Each limit of a panel once, with the tanks that have it where others have not.
    fn limits(&self, what: Substance) -> Vec<Polyline> {
        let mut limits: Vec<(f64, Together)> = Vec::new();
        for tank in &self.tanks {
            let Some(limit) = what.limit(tank.limits) else {
                continue;
            };
            match limits
                .iter_mut()
                .find(|one| one.0.to_bits() == limit.to_bits())
            {
                Some(one) => one.1.push(*tank),
                None => limits.push((limit, vec![*tank])),
            }
        }
        let drawn = limits.into_iter().map(|(limit, tanks)| {
            let name = if tanks.len() == self.tanks.len() {
                format!("limit {} mg/L", shown(limit))
            } else {
                format!("limit of {} {} mg/L", self.together(&tanks), shown(limit))
            };
            level(limit, &name, Stroke::Dashed)
        });
        drawn.collect()
    }

    fn together(&self, tanks: &[Tank]) -> String {
        if tanks.len() > 1 && tanks.len() == self.tanks.len() {
            return "all tanks".to_owned();
        }
        let mut tanks = tanks.to_vec();
        tanks.sort_by_key(|tank| tank.place);
        // One more name is as short as a count of one.
        let named = if tanks.len() > NAMES + 1 {
            NAMES
        } else {
            NAMES + 1
        };
        let first = tanks.iter().take(named).map(|tank| short_name(tank.name));
        let names = first.collect::<Vec<_>>().join(", ");
        match tanks.len().saturating_sub(named) {
            0 => names,
            more => format!("{names} and {more} more"),
        }
    }
}

/// The limit with the least slack, in a sentence.
fn nearest(of: &Loop, day: &Day) -> String {
    let Some((n, check, at)) = day.governing() else {
        return "No limit is set.".to_owned();
    };
    let (Some(tank), Some(own)) = (of.tanks.get(n), day.tanks.get(n)) else {
        return String::new();
    };
    let what = match check.what {
        LoopLimit::Oxygen => "oxygen",
        LoopLimit::Tan => "total ammonia nitrogen",
        LoopLimit::Ammonia => "un-ionised ammonia",
        LoopLimit::CarbonDioxide => "free carbon dioxide",
        LoopLimit::Turnover => "turnover",
        LoopLimit::TotalGasPressure => "total gas pressure",
    };
    let begin = if check.holds() {
        "Nearest to its limit"
    } else {
        "Farthest beyond its limit"
    };
    let slack = digits(check.slack.get::<percent>().abs());
    let side = if check.holds() { "left" } else { "beyond" };
    let shown = match Substance::of(check.what).filter(|_| check.what != LoopLimit::Ammonia) {
        Some(substance) => {
            let found = shown(mg_l(substance.worst(own).value));
            let limit = substance.limit(&tank.limits).map(shown);
            let limit = limit.unwrap_or_default();
            format!(": {found} mg/L, limit {limit} mg/L")
        }
        None => String::new(),
    };
    let (name, at) = (&tank.name, clock(hours(at)));
    format!("{begin}: {what} of {name} at {at}{shown} ({slack} % {side}).")
}

/// A level line over the whole day.
fn level(at: f64, name: &str, stroke: Stroke) -> Polyline {
    Polyline {
        label: Label::Beside(name.to_owned()),
        points: vec![(0.0, at), (DAY_H, at)],
        ink: Ink::Black,
        stroke,
    }
}

/// The times of all tanks' meals, each once.
fn meals(plan: &DayPlan) -> Vec<f64> {
    let all = plan.feeding.iter().flat_map(|feeding| &feeding.meals);
    let mut times: Vec<f64> = all
        .filter(|meal| meal.share.value > 0.0)
        .map(|meal| hours(meal.at))
        .collect();
    times.sort_by(f64::total_cmp);
    times.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    times
}

/// What a timer does, in words.
fn standing(of: &Loop, timer: &Timer) -> String {
    let (from, to) = (clock(hours(timer.from)), clock(hours(timer.to)));
    let group = of.lifts.get(timer.group);
    let count = group.map_or(timer.off, |group| group.count);
    let name = match group {
        Some(group) if of.lifts.len() > 1 => format!(" of {}", short_name(&group.name)),
        _ => String::new(),
    };
    let when = if from == to {
        "all day".to_owned()
    } else {
        format!("{from} to {to}")
    };
    format!("{} of {count} lifts{name} off {when}", timer.off)
}

/// The hours from one time to another; two stretches where they go past midnight, the whole day where the times are one.
fn shaded(from: Time, to: Time) -> Vec<(f64, f64)> {
    let (from, to) = (hours(from) % DAY_H, hours(to) % DAY_H);
    let parts = if from < to {
        vec![(from, to)]
    } else {
        vec![(from, DAY_H), (0.0, to)]
    };
    parts.into_iter().filter(|(from, to)| from < to).collect()
}

/// The corners that a line cannot do without (Douglas and Peucker), two at each jump with them.
fn thinned(points: &[(f64, f64)], near: f64) -> Vec<(f64, f64)> {
    let mut kept = vec![false; points.len()];
    let mut open = vec![(0, points.len().saturating_sub(1))];
    while let Some((from, to)) = open.pop() {
        let (Some(&a), Some(&b)) = (points.get(from), points.get(to)) else {
            break;
        };
        (kept[from], kept[to]) = (true, true);
        let off = |p: (f64, f64)| {
            let share = if b.0 > a.0 {
                (p.0 - a.0) / (b.0 - a.0)
            } else {
                0.0
            };
            (p.1 - a.1 - share * (b.1 - a.1)).abs()
        };
        let between = (from + 1..to).map(|n| (n, off(points[n])));
        let farthest = between.reduce(|a, b| if b.1 > a.1 { b } else { a });
        if let Some((n, _)) = farthest.filter(|(_, off)| *off > near) {
            open.extend([(from, n), (n, to)]);
        }
    }
    let kept = points.iter().zip(kept).filter(|(_, kept)| *kept);
    kept.map(|(point, _)| *point).collect()
}

/// The value and the time of an extreme.
fn worst(extreme: &Extreme) -> String {
    let (value, at) = (shown(mg_l(extreme.value)), clock(hours(extreme.at)));
    format!("{value} mg/L at {at}")
}

/// Two decimals as the other figures have them, three below 1.
fn shown(value: f64) -> String {
    let text = if value.abs() < 0.9995 {
        let text = format!("{value:.3}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        digits(value)
    };
    text.replace('-', "\u{2212}")
}

fn short_name(name: &str) -> String {
    if name.chars().count() <= LETTERS {
        return name.to_owned();
    }
    let begin: String = name.chars().take(LETTERS - 1).collect();
    format!("{}…", begin.trim_end())
}

/// Hours and minutes.
fn clock(hour: f64) -> String {
    let minutes = (60.0 * hour).round();
    let whole = (minutes / 60.0).floor();
    format!("{whole:.0}:{:02.0}", minutes - 60.0 * whole)
}

fn hours(time: Time) -> f64 {
    time.get::<minute>() / 60.0
}

fn mg_l(value: MassConcentration) -> f64 {
    value.get::<milligram_per_liter>()
}
