//! Readings that look wrong, and what was probably meant. Nothing is changed or dropped for it.

use std::fmt;

use super::bench::Bench;
use super::prediction::Prediction;
use super::run::{AirReading, Run, WaterReading};
use crate::error::Error;
use crate::uncertainty::ErrorLaw;
use crate::units::{
    Length, Time, VolumeRate, cubic_meter_per_second, kilogram, liter, liter_per_minute, meter,
    second,
};

/// Repeats of one fill that differ by more than this factor are not scatter: our own choice.
const FAR: f64 = 1.5;
/// A slip explains a time when what was meant is so near to the others: our own choice.
const NEAR: f64 = 1.2;
/// Times from fill to fill that are so alike are those of a watch left running: our own choice.
const ALIKE: f64 = 1.5;
/// A reading of the plan's own amount is within this factor of it: our own choice.
const PLANNED: f64 = 1.5;
/// Predicted water flows are wrong by up to this factor near the threshold: our own choice.
const PREDICTED: f64 = 2.0;
/// A flow beyond what is expected by this factor is worth a look: our own choice.
const UNEXPECTED: f64 = 3.0;
/// Lengths of one trial hardly differ by this factor: our own choice.
const ONE_TRIAL: f64 = 30.0;
/// Lift over submergence, above which hardly any airlift gives water: a submergence ratio of 0.15,
/// common practice.
const TALLEST: f64 = 1.0 / 0.15 - 1.0;
/// No bottle above this is turned over by hand, L: common practice.
const LARGEST_BOTTLE_L: f64 = 100.0;

/// One of the two flows of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::Display)]
#[strum(serialize_all = "lowercase")]
pub enum Fluid {
    /// The water caught.
    Water,
    /// The air let in.
    Air,
}

/// What a reading is held against.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Against {
    /// What the design file plans and predicts.
    Plan,
    /// The other runs of the sheet.
    OtherRuns,
    /// What a hand can hold, or an airlift lift at all.
    Reason,
}

impl Against {
    /// What an expected number goes by.
    fn by(self) -> &'static str {
        match self {
            Self::Plan => "by the plan",
            Self::OtherRuns => "by the other runs",
            Self::Reason => "usually",
        }
    }
}

/// How a time came to be wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum TimeSlip {
    /// 1.05 for 1:05.
    MinutesAndSeconds,
    /// Minutes in a column of seconds.
    Minutes,
    /// 1:05:00 for 1:05, as a spreadsheet may make of it.
    Hours,
    /// The decimal point one place off.
    DecimalPoint,
}

/// What looks wrong.
#[derive(Debug, Clone, PartialEq, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Suspicion {
    /// One time is far from the others of its run.
    TimeOutOfLine {
        /// Of which flow.
        fluid: Fluid,
        /// Which repeat, counted from 1.
        repeat: usize,
        /// The time as read, s.
        read_s: f64,
        /// What the others are about, s.
        others_s: f64,
        /// How that came about and what was meant, s; none where nothing explains it.
        slip: Option<(TimeSlip, f64)>,
    },
    /// All times of a run are of another size than the run can have.
    TimesOfOtherSize {
        /// Of which flow.
        fluid: Fluid,
        /// What they are about as read, s.
        read_s: f64,
        /// How that came about.
        slip: TimeSlip,
        /// What they would be about, s.
        meant_s: f64,
        /// What they are held against.
        against: Against,
    },
    /// Each time holds the ones before it.
    WatchLeftRunning {
        /// Of which flow.
        fluid: Fluid,
        /// The times as read, s.
        read_s: Vec<f64>,
    },
    /// Water and air times in each other's columns.
    TimesSwapped {
        /// What the water times are about, s.
        water_s: f64,
        /// What the air times are about, s.
        air_s: f64,
        /// What the water should take, s.
        expected_water_s: f64,
        /// What the air should take, s.
        expected_air_s: f64,
        /// What they are held against.
        against: Against,
    },
    /// A volume or mass a thousand times too large or too small: mL for L, g for kg.
    AmountUnit {
        /// Of which flow.
        fluid: Fluid,
        /// As read, in its unit.
        read: f64,
        /// The unit.
        unit: &'static str,
        /// What is usual, in that unit; none where nothing tells.
        usual: Option<f64>,
        /// What it is held against.
        against: Against,
    },
    /// A length in another unit than its column's.
    LengthUnit {
        /// Submergence or lift.
        what: &'static str,
        /// As read, m.
        read_m: f64,
        /// The unit that was probably meant.
        unit: &'static str,
        /// The number in that unit.
        number: f64,
        /// What it is held against.
        against: Against,
    },
    /// A flow far from what was planned or predicted, for no reason that shows.
    FlowUnexpected {
        /// Which flow.
        fluid: Fluid,
        /// What the readings come to, L/min.
        read_l_per_min: f64,
        /// The least that is expected, L/min.
        low_l_per_min: f64,
        /// The most that is expected, L/min.
        high_l_per_min: f64,
    },
}

/// A reading that looks wrong; it is used as it stands.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Doubtful {
    /// Names of the runs.
    pub runs: Vec<String>,
    /// What looks wrong.
    pub suspicion: Suspicion,
}

impl Doubtful {
    /// The stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        (&self.suspicion).into()
    }

    /// Whether a flow of a run rests on what looks wrong.
    #[must_use]
    pub fn is_of(&self, run: &str, flow: Fluid) -> bool {
        let touched = match self.suspicion {
            Suspicion::TimesSwapped { .. } => true,
            Suspicion::LengthUnit { .. } => false,
            Suspicion::TimeOutOfLine { fluid, .. }
            | Suspicion::TimesOfOtherSize { fluid, .. }
            | Suspicion::WatchLeftRunning { fluid, .. }
            | Suspicion::AmountUnit { fluid, .. }
            | Suspicion::FlowUnexpected { fluid, .. } => fluid == flow,
        };
        touched && self.runs.iter().any(|label| label == run)
    }
}

impl fmt::Display for Doubtful {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let runs = if self.runs.len() == 1 { "run" } else { "runs" };
        write!(f, "{runs} {}: {}", self.runs.join(", "), self.suspicion)
    }
}

impl fmt::Display for Suspicion {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TimeOutOfLine {
                fluid,
                repeat,
                read_s,
                others_s,
                slip,
            } => {
                let (read, others) = (tidy(*read_s), tidy(*others_s));
                write!(
                    f,
                    "{fluid} time {repeat}, {read} s, stands beside {others} s: "
                )?;
                match slip {
                    Some((slip, meant_s)) => slip.ask(*read_s, *meant_s, f),
                    None => f.write_str(
                        "that is no scatter, so one of them is wrong or something changed between them; look it up, or time it again",
                    ),
                }
            }
            Self::TimesOfOtherSize {
                fluid,
                read_s,
                slip,
                meant_s,
                against,
            } => {
                let (read, meant) = (tidy(*read_s), tidy(*meant_s));
                write!(
                    f,
                    "{fluid} times of about {read} s; {} {meant} s would fit: ",
                    against.by()
                )?;
                slip.ask(*read_s, *meant_s, f)
            }
            Self::WatchLeftRunning { fluid, read_s } => {
                let times: Vec<String> = read_s.iter().map(|t| tidy(*t)).collect();
                write!(
                    f,
                    "{fluid} times {} s grow by about the same from each to the next: was the watch left running? Then name the columns {fluid}_clock_1_s and so on",
                    times.join(", ")
                )
            }
            Self::TimesSwapped {
                water_s,
                air_s,
                expected_water_s,
                expected_air_s,
                against,
            } => write!(
                f,
                "water takes {} s and air {} s; {} it should be about {} s and {} s: were water and air times swapped?",
                tidy(*water_s),
                tidy(*air_s),
                against.by(),
                tidy(*expected_water_s),
                tidy(*expected_air_s)
            ),
            Self::AmountUnit {
                fluid,
                read,
                unit,
                usual,
                against,
            } => amount(*fluid, (*read, unit), *usual, *against, f),
            Self::LengthUnit {
                what,
                read_m,
                unit,
                number,
                against,
            } => {
                let why = match against {
                    Against::Plan => "is not of the plan",
                    Against::OtherRuns => "is not like that of the other runs",
                    Against::Reason => "is more than this submergence lifts water",
                };
                let (read, number) = (tidy(*read_m), tidy(*number));
                write!(
                    f,
                    "a {what} of {read} m {why}: was it {number} {unit}? Then write \"{number} {unit}\""
                )
            }
            Self::FlowUnexpected {
                fluid,
                read_l_per_min,
                low_l_per_min,
                high_l_per_min,
            } => write!(
                f,
                "the readings come to {} L/min of {fluid}, where the plan expects {} to {}: look up amount, times and units",
                tidy(*read_l_per_min),
                tidy(*low_l_per_min),
                tidy(*high_l_per_min)
            ),
        }
    }
}

/// A slip, and what a time would be without it, s.
type Undo = (TimeSlip, fn(f64) -> Option<f64>);

/// The likeliest first.
const SLIPS: [Undo; 5] = [
    (TimeSlip::MinutesAndSeconds, |read_s| {
        let minutes = read_s.floor();
        let seconds = (1e4 * (read_s - minutes)).round() / 1e2;
        // Whole numbers are seconds.
        let written = minutes < 60.0 && seconds > 0.0 && seconds < 60.0;
        written.then_some(60.0 * minutes + seconds)
    }),
    // Nobody times a fill of more than ten minutes to a fraction of one.
    (TimeSlip::Minutes, |read_s| {
        (read_s < 10.0).then_some(60.0 * read_s)
    }),
    (TimeSlip::Hours, |read_s| Some(read_s / 60.0)),
    (TimeSlip::DecimalPoint, |read_s| Some(10.0 * read_s)),
    (TimeSlip::DecimalPoint, |read_s| Some(read_s / 10.0)),
];

fn amount(
    fluid: Fluid,
    (read, unit): (f64, &str),
    usual: Option<f64>,
    against: Against,
    f: &mut fmt::Formatter<'_>,
) -> fmt::Result {
    let small = if unit == "kg" { "g" } else { "mL" };
    let number = tidy(read);
    write!(f, "{number} {unit} of {fluid} in one fill")?;
    match usual {
        Some(usual) => write!(f, "; {} it is {} {unit}", against.by(), tidy(usual))?,
        None => f.write_str(" is too much for a bottle that is turned over by hand")?,
    }
    if usual.is_some_and(|usual| read < usual) {
        f.write_str(": look at its unit")
    } else {
        write!(
            f,
            ": was it {number} {small}? Then write \"{number} {small}\""
        )
    }
}

impl TimeSlip {
    /// The slip that brings a time near to what is usual, and what was meant.
    fn of(read_s: f64, usual_s: f64) -> Option<(Self, f64)> {
        SLIPS.iter().find_map(|(slip, undo)| {
            let meant = undo(read_s).filter(|meant| within(*meant, usual_s, NEAR))?;
            Some((*slip, meant))
        })
    }

    /// Whether a time without it may be the right one among times that have it.
    fn may_be_either(self) -> bool {
        matches!(self, Self::Hours | Self::DecimalPoint)
    }

    fn ask(self, read_s: f64, meant_s: f64, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::MinutesAndSeconds => {
                let clock = clock(meant_s);
                write!(
                    f,
                    "was it {clock}, in minutes and seconds? Then write {clock}"
                )
            }
            Self::Minutes => {
                let read = tidy(read_s);
                write!(f, "was it {read} min? Then write \"{read} min\"")
            }
            Self::Hours => {
                let clock = clock(meant_s);
                write!(
                    f,
                    "was it {clock}, of which a spreadsheet made hours and minutes? Then write {clock} in a cell of text, or the seconds"
                )
            }
            Self::DecimalPoint => {
                let meant = tidy(meant_s);
                write!(f, "did the decimal point slip? {meant} s would fit")
            }
        }
    }
}

/// A time as minutes and seconds.
fn clock(time_s: f64) -> String {
    let minutes = (time_s / 60.0).floor();
    let seconds = tidy(time_s - 60.0 * minutes);
    let zero = if seconds.find('.').unwrap_or(seconds.len()) < 2 {
        "0"
    } else {
        ""
    };
    format!("{minutes:.0}:{zero}{seconds}")
}

/// A number as people write it: two decimals at most, more where it is below one.
fn tidy(value: f64) -> String {
    let decimals = if value.abs() < 1.0 { 4 } else { 2 };
    let text = format!("{value:.decimals$}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    text.to_owned()
}

/// Whether two numbers above zero are within a factor of each other.
fn within(a: f64, b: f64, factor: f64) -> bool {
    a <= b * factor && b <= a * factor
}

fn middle(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let half = sorted.len() / 2;
    let upper = *sorted.get(half)?;
    Some(if sorted.len().is_multiple_of(2) {
        f64::midpoint(sorted[half - 1], upper)
    } else {
        upper
    })
}

/// What was timed for one flow.
struct Timed {
    /// Volume or mass of one fill, in its unit.
    amount: f64,
    unit: &'static str,
    /// The same as a volume, L.
    volume_l: f64,
    times_s: Vec<f64>,
    /// Their median.
    middle_s: f64,
}

impl Timed {
    fn new(amount: f64, unit: &'static str, volume_l: f64, times: &[Time]) -> Option<Self> {
        let times_s: Vec<f64> = times.iter().map(Time::get::<second>).collect();
        Some(Self {
            amount,
            unit,
            volume_l,
            middle_s: middle(&times_s)?,
            times_s,
        })
    }

    fn water(run: &Run) -> Result<Option<Self>, Error> {
        Ok(match &run.water {
            WaterReading::Timed(timed) => {
                let volume = timed.volume.get::<liter>();
                Self::new(volume, "L", volume, &timed.times)
            }
            WaterReading::Weighed(weighed) => {
                let volume = weighed.volume()?.get::<liter>();
                Self::new(weighed.mass.get::<kilogram>(), "kg", volume, &weighed.times)
            }
            WaterReading::NoFlow => None,
        })
    }

    fn air(run: &Run) -> Option<Self> {
        match &run.air {
            AirReading::Displaced(bottle) => {
                let volume = bottle.volume.get::<liter>();
                Self::new(volume, "L", volume, &bottle.times)
            }
            AirReading::Metered(_) => None,
        }
    }

    /// What is wrong with the times among themselves.
    fn among_themselves(&self, fluid: Fluid) -> Vec<Suspicion> {
        if self.was_left_running() {
            let read_s = self.times_s.clone();
            return vec![Suspicion::WatchLeftRunning { fluid, read_s }];
        }
        let mut found = Vec::new();
        for (n, read_s) in self.times_s.iter().copied().enumerate() {
            let far = |other: &&f64| !within(**other, read_s, FAR);
            let others: Vec<f64> = self.times_s.iter().filter(far).copied().collect();
            let slip = others
                .iter()
                .find_map(|other| Some((TimeSlip::of(read_s, *other)?, *other)));
            if let Some(((slip, meant_s), others_s)) = slip {
                // Where either may be the right one, the few are taken to be wrong.
                if !slip.may_be_either() || 2 * others.len() >= self.times_s.len() {
                    found.push((n + 1, read_s, others_s, (slip, meant_s)));
                }
            }
        }
        if found.iter().any(|(.., (slip, _))| !slip.may_be_either()) {
            found.retain(|(.., (slip, _))| !slip.may_be_either());
        } else if self.times_s.len() == 2 {
            found.truncate(1);
        }
        let told = |(repeat, read_s, others_s, slip)| Suspicion::TimeOutOfLine {
            fluid,
            repeat,
            read_s,
            others_s,
            slip: Some(slip),
        };
        let found: Vec<Suspicion> = found.into_iter().map(told).collect();
        if found.is_empty() {
            self.unexplained(fluid).into_iter().collect()
        } else {
            found
        }
    }

    /// The time farthest from the median of the others, where it is far.
    fn unexplained(&self, fluid: Fluid) -> Option<Suspicion> {
        let off = |n: usize| {
            let mut others = self.times_s.clone();
            let read_s = others.remove(n);
            let others_s = middle(&others)?;
            Some((n, read_s, others_s, (read_s / others_s).ln().abs()))
        };
        let all = (0..self.times_s.len()).rev().filter_map(off);
        let (n, read_s, others_s, _) = all.max_by(|a, b| a.3.total_cmp(&b.3))?;
        (!within(read_s, others_s, FAR)).then_some(Suspicion::TimeOutOfLine {
            fluid,
            repeat: n + 1,
            read_s,
            others_s,
            slip: None,
        })
    }

    /// t_k − t_(k−1) alike, the first from zero.
    fn was_left_running(&self) -> bool {
        let before = std::iter::once(&0.0).chain(&self.times_s);
        let steps: Vec<f64> = self
            .times_s
            .iter()
            .zip(before)
            .map(|(t, b)| t - b)
            .collect();
        let least = steps.iter().copied().fold(f64::INFINITY, f64::min);
        let most = steps.iter().copied().fold(0.0, f64::max);
        steps.len() > 1 && least > 0.0 && within(least, most, ALIKE)
    }

    /// A volume or mass a thousand times what is usual, or a thousandth.
    fn amount(&self, fluid: Fluid, usual: Option<(f64, Against)>) -> Option<Suspicion> {
        let off = |(usual, _): &(f64, Against)| {
            within(self.amount, 1e3 * usual, PLANNED) || within(1e3 * self.amount, *usual, PLANNED)
        };
        let found = |usual, against| Suspicion::AmountUnit {
            fluid,
            read: self.amount,
            unit: self.unit,
            usual,
            against,
        };
        match usual.filter(off) {
            Some((usual, against)) => Some(found(Some(usual), against)),
            None if fluid == Fluid::Air && self.amount > LARGEST_BOTTLE_L => {
                Some(found(None, Against::Reason))
            }
            None => None,
        }
    }
}

/// A run with what was timed in it.
struct Taken<'a> {
    run: &'a Run,
    water: Option<Timed>,
    air: Option<Timed>,
}

/// Times that one fill of a run should take for water and for air, s.
type Expected = (f64, f64);

struct Check<'a> {
    all: Vec<Taken<'a>>,
    bench: Option<&'a Bench>,
}

/// Readings of a trial that look wrong: held against what the design file plans and predicts, where
/// there is one, and against the other runs.
///
/// They are remarks on readings that are used all the same, in the order of the runs.
///
/// # Errors
/// As [`Bench::plan`], for a riser or a run that cannot be.
///
/// # Examples
/// ```
/// # #[cfg(feature = "files")] {
/// use risewater::trial::{doubts, parse_runs};
///
/// let sheet = "\
/// run,submergence_m,lift_m,water_volume_L,water_time_1_s,water_time_2_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa
/// R1,0.8,0.1,60,1.05,65,20,dry_20_c,16,98.4
/// ";
/// let found = doubts(&parse_runs(sheet)?, None)?;
/// assert_eq!(found[0].code(), "time_out_of_line");
/// assert!(found[0].to_string().contains("was it 1:05"), "{}", found[0]);
/// # }
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn doubts(runs: &[Run], bench: Option<&Bench>) -> Result<Vec<Doubtful>, Error> {
    let taken = |run| {
        Ok(Taken {
            run,
            water: Timed::water(run)?,
            air: Timed::air(run),
        })
    };
    let all = runs.iter().map(taken).collect::<Result<_, Error>>()?;
    let check = Check { all, bench };
    let mut doubts: Vec<Doubtful> = Vec::new();
    for (n, run) in runs.iter().enumerate() {
        for suspicion in check.run(n)? {
            let label = run.label.clone();
            match doubts.iter_mut().find(|d| d.suspicion == suspicion) {
                Some(doubt) => doubt.runs.push(label),
                None => doubts.push(Doubtful {
                    runs: vec![label],
                    suspicion,
                }),
            }
        }
    }
    Ok(doubts)
}

impl Check<'_> {
    fn run(&self, n: usize) -> Result<Vec<Suspicion>, Error> {
        let taken = &self.all[n];
        let mut found = self.lengths(n);
        let sound_place = found.is_empty();
        let mut sound = true;
        for fluid in [Fluid::Water, Fluid::Air] {
            let Some(timed) = taken.of(fluid) else {
                continue;
            };
            let amount = timed.amount(fluid, self.usual_amount(n, fluid));
            sound &= amount.is_none();
            found.extend(amount);
            let times = timed.among_themselves(fluid);
            sound &= times.is_empty();
            found.extend(times);
        }
        // What is wrong by itself would be wrong once more beside what is expected.
        if !sound {
            return Ok(found);
        }
        match self.bench.filter(|_| sound_place) {
            Some(bench) => found.extend(self.against_plan(n, bench)?),
            None => found.extend(self.against_others(n)),
        }
        Ok(found)
    }

    fn others(&self, n: usize) -> impl Iterator<Item = &Taken<'_>> {
        let others = self.all.iter().enumerate();
        others.filter(move |(k, _)| *k != n).map(|(_, taken)| taken)
    }

    /// Submergence and lift in another unit than m.
    fn lengths(&self, n: usize) -> Vec<Suspicion> {
        let taken = &self.all[n];
        let lengths = |taken: &Taken| {
            [taken.run.submergence, taken.run.lift].map(|length| length.get::<meter>())
        };
        let read = lengths(taken);
        let mut found = Vec::new();
        for (place, what) in ["submergence", "lift"].into_iter().enumerate() {
            let planned = self.bench.map(|bench| {
                let lengths = [&bench.submergences, &bench.lifts][place];
                lengths.iter().map(Length::get::<meter>).collect()
            });
            let (usual, against): (Vec<f64>, Against) = match planned {
                Some(planned) => (planned, Against::Plan),
                None => (
                    self.others(n).map(|taken| lengths(taken)[place]).collect(),
                    Against::OtherRuns,
                ),
            };
            let slip = unit_slip(read[place], &usual).map(|unit| (unit, against));
            let tall = || {
                let pumps = taken.water.is_some() && place == 1;
                let low = |(_, per_meter): &&LengthUnit| read[1] / per_meter <= read[0];
                let unit = UNITS.iter().find(low).unwrap_or(&UNITS[1]);
                (pumps && read[1] > TALLEST * read[0]).then_some((*unit, Against::Reason))
            };
            if let Some(((unit, _), against)) = slip.or_else(tall) {
                // A number of cm in a column of m.
                found.push(Suspicion::LengthUnit {
                    what,
                    read_m: read[place],
                    unit,
                    number: read[place],
                    against,
                });
            }
        }
        found
    }

    fn usual_amount(&self, n: usize, fluid: Fluid) -> Option<(f64, Against)> {
        let own = self.all[n].of(fluid)?;
        let said = self.bench.and_then(|bench| match fluid {
            Fluid::Water => bench.container,
            Fluid::Air => bench.bottle,
        });
        if let Some(volume) = said {
            // The mass of so much water is near enough its litres.
            return Some((volume.get::<liter>(), Against::Plan));
        }
        let alike = |other: &Timed| (other.unit == own.unit).then_some(other.amount);
        let others: Vec<f64> = self
            .others(n)
            .filter_map(|taken| taken.of(fluid).and_then(alike))
            .collect();
        Some((middle(&others)?, Against::OtherRuns))
    }

    fn against_plan(&self, n: usize, bench: &Bench) -> Result<Vec<Suspicion>, Error> {
        let taken = &self.all[n];
        let run = taken.run;
        let place = [run.submergence, run.lift];
        let at = |air| Prediction::at(place, &run.site, air, &bench.spec, bench.model);
        if let (Some(water), Some(air)) = (&taken.water, &taken.air) {
            let mut expected = Vec::new();
            for planned in &bench.air_flows {
                let flow = 6e4 * at(*planned)?.flow;
                let rate = planned.volume_rate_at_20_c().get::<liter_per_minute>();
                if flow > 0.0 && rate > 0.0 {
                    expected.push((60.0 * water.volume_l / flow, 60.0 * air.volume_l / rate));
                }
            }
            if let Some(swapped) = swapped(water, air, &expected, Against::Plan) {
                return Ok(vec![swapped]);
            }
        }
        let air = run.air.air_flow(&bench.instruments)?.air_flow();
        let read = air.volume_rate_at_20_c().get::<liter_per_minute>();
        let planned = bench.air_flows.iter();
        let planned: Vec<f64> = planned
            .map(|air| air.volume_rate_at_20_c().get::<liter_per_minute>())
            .filter(|rate| *rate > 0.0)
            .collect();
        if let Some(found) = taken.flow(Fluid::Air, read, ends(&planned)) {
            // The water flow is predicted from the air, so nothing can be said of it.
            return Ok(vec![found]);
        }
        let Some(water) = &taken.water else {
            return Ok(Vec::new());
        };
        let predicted = at(air)?;
        if predicted.flow <= 0.0 {
            return Ok(Vec::new());
        }
        let interval = ErrorLaw::default()
            .on(&predicted.riser)?
            .predict(air)?
            .interval;
        let l_per_min = |q: VolumeRate| 6e4 * q.get::<cubic_meter_per_second>();
        let limits = interval.map(|found| (l_per_min(found.low), l_per_min(found.high)));
        let flow = 60.0 * water.volume_l / water.middle_s;
        let found = taken.flow(Fluid::Water, flow, limits);
        Ok(found.into_iter().collect())
    }

    fn against_others(&self, n: usize) -> Vec<Suspicion> {
        let taken = &self.all[n];
        let mut found = Vec::new();
        if let (Some(water), Some(air)) = (&taken.water, &taken.air) {
            let expected = |other: &Taken| {
                let (w, a) = (other.water.as_ref()?, other.air.as_ref()?);
                Some((
                    w.middle_s / w.volume_l * water.volume_l,
                    a.middle_s / a.volume_l * air.volume_l,
                ))
            };
            let expected: Vec<Expected> = self.others(n).filter_map(expected).collect();
            found.extend(swapped(water, air, &expected, Against::OtherRuns));
        }
        if !found.is_empty() {
            return found;
        }
        for fluid in [Fluid::Water, Fluid::Air] {
            let Some(timed) = taken.of(fluid) else {
                continue;
            };
            let times = self.others(n).filter_map(|other| {
                let other = other.of(fluid)?;
                Some(other.middle_s / other.volume_l * timed.volume_l)
            });
            let times: Vec<f64> = times.collect();
            found.extend(
                ends(&times)
                    .and_then(|usual| timed.of_other_size(fluid, usual, Against::OtherRuns)),
            );
        }
        found
    }
}

impl Taken<'_> {
    fn of(&self, fluid: Fluid) -> Option<&Timed> {
        match fluid {
            Fluid::Water => self.water.as_ref(),
            Fluid::Air => self.air.as_ref(),
        }
    }

    /// A flow beyond what is expected, with the slip of the times that explains it.
    fn flow(&self, fluid: Fluid, read: f64, expected: Option<(f64, f64)>) -> Option<Suspicion> {
        let (low, high) = expected?;
        if (low / UNEXPECTED..=high * UNEXPECTED).contains(&read) {
            return None;
        }
        let slip = self.of(fluid).and_then(|timed| {
            let time = |flow: f64| 60.0 * timed.volume_l / flow;
            timed.of_other_size(fluid, (time(high), time(low)), Against::Plan)
        });
        slip.or(Some(Suspicion::FlowUnexpected {
            fluid,
            read_l_per_min: read,
            low_l_per_min: low,
            high_l_per_min: high,
        }))
    }
}

impl Timed {
    /// All times far beyond what is usual, by a slip that brings them back.
    fn of_other_size(
        &self,
        fluid: Fluid,
        (low_s, high_s): (f64, f64),
        against: Against,
    ) -> Option<Suspicion> {
        if (low_s / UNEXPECTED..=high_s * UNEXPECTED).contains(&self.middle_s) {
            return None;
        }
        let fits = |meant: f64| (low_s / PLANNED..=high_s * PLANNED).contains(&meant);
        // Each time makes sense without the slip, and their middle fits.
        // A decimal point slips once, not in every time.
        let mut slips = SLIPS
            .iter()
            .filter(|(slip, _)| *slip != TimeSlip::DecimalPoint);
        let (slip, meant_s) = slips.find_map(|(slip, undo)| {
            let all: Option<Vec<f64>> = self.times_s.iter().map(|t| undo(*t)).collect();
            let meant = middle(&all?)?;
            fits(meant).then_some((*slip, meant))
        })?;
        Some(Suspicion::TimesOfOtherSize {
            fluid,
            read_s: self.middle_s,
            slip,
            meant_s,
            against,
        })
    }
}

/// Water and air times that fit what is expected only the other way round.
fn swapped(
    water: &Timed,
    air: &Timed,
    expected: &[Expected],
    against: Against,
) -> Option<Suspicion> {
    let (water_s, air_s) = (water.middle_s, air.middle_s);
    let fits = |water_s: f64, air_s: f64| {
        let mut all = expected.iter();
        all.find(|(w, a)| within(water_s, *w, PREDICTED) && within(air_s, *a, PLANNED))
    };
    if fits(water_s, air_s).is_some() {
        return None;
    }
    let (expected_water_s, expected_air_s) = *fits(air_s, water_s)?;
    Some(Suspicion::TimesSwapped {
        water_s,
        air_s,
        expected_water_s,
        expected_air_s,
        against,
    })
}

/// A unit, and how many of it make a metre.
type LengthUnit = (&'static str, f64);

const UNITS: [LengthUnit; 2] = [("cm", 1e2), ("mm", 1e3)];

/// The unit that brings a length back to what is usual.
fn unit_slip(read_m: f64, usual_m: &[f64]) -> Option<LengthUnit> {
    let above: Vec<f64> = usual_m.iter().copied().filter(|l| *l > 0.0).collect();
    let middle = middle(&above)?;
    let alike = |l: &f64| within(*l, middle, ONE_TRIAL);
    let alike: Vec<f64> = above.into_iter().filter(alike).collect();
    let (low, high) = ends(&alike)?;
    if read_m <= UNEXPECTED * high {
        return None;
    }
    let fits = |(_, per_meter): &LengthUnit| {
        (low / PREDICTED..=high * PREDICTED).contains(&(read_m / per_meter))
    };
    UNITS.into_iter().find(fits)
}

/// Least and most.
fn ends(values: &[f64]) -> Option<(f64, f64)> {
    let mut values = values.iter().copied();
    let first = values.next()?;
    Some(values.fold((first, first), |(low, high), v| (low.min(v), high.max(v))))
}
