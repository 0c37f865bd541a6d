//! Two configurations compared pair by pair.

use std::fmt;

use super::agreement::VERDICT_LEVEL;
use super::prediction::Prediction;
use super::run::ReducedRun;
use super::uncertainty::{coverage_factor, standard_deviation};
use crate::error::{Error, Input, Range};
use crate::model::Model;
use crate::riser::RiserSpec;
use crate::units::{Length, Ratio, base, kilogram_per_second, meter, ratio};

/// Largest relative differences of the air flows of a pair.
pub const AIR_TOLERANCE: Range = Range::new(0.0, 1.0, "");
/// Largest differences of the submergences and of the lifts of a pair.
pub const SETTING_TOLERANCE: Range = Range::new(0.0, 10.0, "m");
/// Most pairs that are worth asking for.
pub const MOST_PAIRS: usize = 200;

/// How runs are matched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Matching {
    /// Largest relative difference of the air flows.
    pub air_tolerance: Ratio,
    /// Largest difference of the submergences, and of the lifts.
    pub setting_tolerance: Length,
}

impl Default for Matching {
    /// 10 % of the air, which is corrected for; 2 mm of the settings, which are not.
    fn default() -> Self {
        Self {
            air_tolerance: base(0.1),
            setting_tolerance: base(2e-3),
        }
    }
}

/// Two runs at the same setting.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Pair {
    /// Run of the first configuration.
    pub first: String,
    /// Run of the second.
    pub second: String,
    /// Depth of the air inlet, of the first.
    pub submergence: Length,
    /// Height of the outlet, of the first.
    pub lift: Length,
    /// Air of the second over that of the first, less one.
    pub air_difference: Ratio,
    /// ΔlnQ/Δln ṁ as predicted for the second's riser between the two air flows; none where none was
    /// needed.
    pub slope: Option<f64>,
    /// ln(Q₂/Q₁), at the air of the first: ln(Q₂/Q₁) − s ln(ṁ₂/ṁ₁).
    pub log_difference: f64,
}

/// Why a run has no partner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[non_exhaustive]
pub enum Unpaired {
    /// It is of neither configuration.
    OtherConfiguration,
    /// No run of the other configuration has its depth and lift.
    NoSuchSetting,
    /// None of those has an air flow near enough.
    NoSuchAir,
    /// Those that would do stand nearer to others.
    Taken,
    /// Theory lets no water flow there, so that the difference in air cannot be corrected.
    NoSlope,
}

impl Unpaired {
    /// The name in reports.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::OtherConfiguration => "other_configuration",
            Self::NoSuchSetting => "no_such_setting",
            Self::NoSuchAir => "no_such_air",
            Self::Taken => "taken",
            Self::NoSlope => "no_slope",
        }
    }
}

impl fmt::Display for Unpaired {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::OtherConfiguration => "is of neither configuration",
            Self::NoSuchSetting => "no run of the other configuration has its depth and lift",
            Self::NoSuchAir => "no run of the other configuration has an air flow near its own",
            Self::Taken => "the runs that would match stand nearer to others",
            Self::NoSlope => {
                "theory gives no water there, so the difference in air cannot be corrected"
            }
        })
    }
}

/// Two configurations, pair by pair.
///
/// ```text
/// d_i = ln(Q₂/Q₁) − s ln(ṁ₂/ṁ₁)        d̄ ± t_{n−1} s_d/√n
/// ```
///
/// What both runs of a pair have in common, such as a container marked wrong, cancels. What differs
/// between the two configurations beside their difference, such as another watch, does not.
///
/// # Examples
/// See [`Comparison::of`].
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Comparison {
    /// Name of the first configuration.
    pub first: String,
    /// Name of the second.
    pub second: String,
    /// The pairs, in the order of the first's runs.
    pub pairs: Vec<Pair>,
    /// Runs without a partner, and why.
    pub unpaired: Vec<(String, Unpaired)>,
    /// Geometric mean of Q₂/Q₁, less one; none without pairs.
    pub difference: Option<Ratio>,
    /// Its 95 % limits; none for fewer than two pairs.
    pub interval: Option<(Ratio, Ratio)>,
    /// Pairs that would tell a difference of this size, with this scatter; none when it is told
    /// already, or when more than [`MOST_PAIRS`] would be needed, or for fewer than two pairs.
    pub pairs_needed: Option<usize>,
}

impl Comparison {
    /// Compares the runs of two configurations.
    ///
    /// `riser` describes the riser of a run; its depth and lift are those of the run.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`AIR_TOLERANCE`] or [`SETTING_TOLERANCE`]; as
    /// [`RiserSpec::build`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::design::Design;
    /// use risewater::trial::{
    ///     Comparison, DEMO, DEMO_RIG, Instruments, Matching, parse_sheet, reduce,
    /// };
    ///
    /// let bench = Design::parse(DEMO_RIG)?.bench()?;
    /// let runs = reduce(&parse_sheet(DEMO)?, &Instruments::default())?;
    /// let names = ["ring", "diffuser"];
    /// let found = Comparison::of(&runs, names, bench.model, |_| bench.spec, Matching::default())?;
    /// // The invented diffuser gives 0.97/0.92 of the ring's water, +5.4 %.
    /// let (low, high) = found.interval.ok_or("too few pairs")?;
    /// assert!(low.value < 0.054 && high.value > 0.054);
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(
        runs: &[ReducedRun],
        [first, second]: [&str; 2],
        model: Model,
        riser: impl Fn(&ReducedRun) -> RiserSpec,
        matching: Matching,
    ) -> Result<Self, Error> {
        let air =
            AIR_TOLERANCE.check(Input::AirTolerance, matching.air_tolerance.get::<ratio>())?;
        let setting = SETTING_TOLERANCE.check(
            Input::SettingTolerance,
            matching.setting_tolerance.get::<meter>(),
        )?;
        let mut candidates = Vec::new();
        for (i, a) in runs
            .iter()
            .enumerate()
            .filter(|(_, run)| run.configuration == first)
        {
            for (j, b) in runs
                .iter()
                .enumerate()
                .filter(|(_, run)| run.configuration == second)
            {
                let off = air_ratio(a, b).ln().abs();
                if same_setting(a, b, setting) && off <= air.ln_1p() {
                    candidates.push((off, i, j));
                }
            }
        }
        // The nearest first; of equals, in the order of the sheet.
        candidates.sort_by(|a, b| a.0.total_cmp(&b.0).then((a.1, a.2).cmp(&(b.1, b.2))));
        let mut pairs: Vec<(usize, usize, Pair)> = Vec::new();
        let mut without_slope = Vec::new();
        for (_, i, j) in candidates {
            if pairs.iter().any(|(a, b, _)| *a == i || *b == j) {
                continue;
            }
            match pair(&runs[i], &runs[j], &riser, model)? {
                Some(pair) => pairs.push((i, j, pair)),
                None => without_slope.extend([i, j]),
            }
        }
        pairs.sort_by_key(|(i, ..)| *i);
        let paired = |n: usize| pairs.iter().any(|(i, j, _)| *i == n || *j == n);
        let unpaired = runs
            .iter()
            .enumerate()
            .filter(|(n, _)| !paired(*n))
            .map(|(n, run)| {
                let other = match &run.configuration {
                    name if name == first => second,
                    name if name == second => first,
                    _ => return (run.label.clone(), Unpaired::OtherConfiguration),
                };
                let others = || runs.iter().filter(|run| run.configuration == other);
                let placed = |o: &&ReducedRun| same_setting(run, o, setting);
                let why = if without_slope.contains(&n) {
                    Unpaired::NoSlope
                } else if !others().any(|o| placed(&o)) {
                    Unpaired::NoSuchSetting
                } else if !others()
                    .filter(placed)
                    .any(|o| air_ratio(run, o).ln().abs() <= air.ln_1p())
                {
                    Unpaired::NoSuchAir
                } else {
                    Unpaired::Taken
                };
                (run.label.clone(), why)
            })
            .collect();
        let pairs: Vec<Pair> = pairs.into_iter().map(|(.., pair)| pair).collect();
        let mut found = Self {
            first: first.to_owned(),
            second: second.to_owned(),
            pairs,
            unpaired,
            difference: None,
            interval: None,
            pairs_needed: None,
        };
        found.conclude()?;
        Ok(found)
    }

    fn conclude(&mut self) -> Result<(), Error> {
        let logs: Vec<f64> = self.pairs.iter().map(|pair| pair.log_difference).collect();
        if logs.is_empty() {
            return Ok(());
        }
        let n = logs.len() as f64;
        let mean = logs.iter().sum::<f64>() / n;
        let relative = |log: f64| -> Ratio { base(log.exp() - 1.0) };
        self.difference = Some(relative(mean));
        if logs.len() < 2 {
            return Ok(());
        }
        let deviation = standard_deviation(&logs);
        let half = half_width(deviation, logs.len())?;
        self.interval = Some((relative(mean - half), relative(mean + half)));
        if mean.abs() <= half {
            for pairs in logs.len() + 1..=MOST_PAIRS {
                if half_width(deviation, pairs)? < mean.abs() {
                    self.pairs_needed = Some(pairs);
                    break;
                }
            }
        }
        Ok(())
    }

    /// Whether the data tell the two apart; none for fewer than two pairs.
    #[must_use]
    pub fn is_different(&self) -> Option<bool> {
        self.interval
            .map(|(low, high)| low.value > 0.0 || high.value < 0.0)
    }

    /// One plain sentence on what the data can tell.
    #[must_use]
    pub fn statement(&self) -> String {
        let (first, second, n) = (&self.first, &self.second, self.pairs.len());
        let per_cent = |share: Ratio| 100.0 * share.get::<ratio>();
        let (Some(difference), Some((low, high))) = (self.difference, self.interval) else {
            return format!(
                "{n} pair{} of runs of {first:?} and {second:?}: no scatter to judge by; take two pairs at least.",
                if n == 1 { "" } else { "s" }
            );
        };
        let (d, low, high) = (per_cent(difference), per_cent(low), per_cent(high));
        if self.is_different() == Some(true) {
            let side = if d > 0.0 { "more" } else { "less" };
            return format!(
                "{second:?} gives {:.1} % {side} water than {first:?} (95 %: {low:+.1} to {high:+.1} %, {n} pairs): more than chance.",
                d.abs()
            );
        }
        let wish = match self.pairs_needed {
            Some(needed) => format!(
                "if difference and scatter stay as they are, at least {} more pair{} would tell",
                needed - n,
                if needed - n == 1 { "" } else { "s" }
            ),
            None => format!(
                "a difference as small as this does not show in {MOST_PAIRS} pairs of such scatter"
            ),
        };
        format!(
            "The data cannot tell {second:?} from {first:?}: {d:+.1} % (95 %: {low:+.1} to {high:+.1} %, {n} pairs); {wish}."
        )
    }
}

/// Half-width of the 95 % interval of a mean.
fn half_width(deviation: f64, pairs: usize) -> Result<f64, Error> {
    let n = pairs as f64;
    Ok(coverage_factor(base(VERDICT_LEVEL), n - 1.0)? * deviation / n.sqrt())
}

fn same_setting(a: &ReducedRun, b: &ReducedRun, tolerance_m: f64) -> bool {
    let near = |a: Length, b: Length| (a - b).get::<meter>().abs() <= tolerance_m + 1e-9;
    near(a.submergence.value, b.submergence.value) && near(a.lift.value, b.lift.value)
}

/// Air of the second over that of the first.
pub(super) fn air_ratio(a: &ReducedRun, b: &ReducedRun) -> f64 {
    let mass = |run: &ReducedRun| run.air.value.value.get::<kilogram_per_second>();
    mass(b) / mass(a)
}

/// A pair, or none where the air differs and theory has no slope.
fn pair(
    a: &ReducedRun,
    b: &ReducedRun,
    riser: impl Fn(&ReducedRun) -> RiserSpec,
    model: Model,
) -> Result<Option<Pair>, Error> {
    let off = air_ratio(a, b);
    let slope = if off == 1.0 {
        None
    } else {
        let slope = Prediction::of(b, &riser(b), model)?.air_slope_to(a.air.air_flow())?;
        if slope.is_none() {
            return Ok(None);
        }
        slope
    };
    let q = (b.water_flow.value.value / a.water_flow.value.value).get::<ratio>();
    Ok(Some(Pair {
        first: a.label.clone(),
        second: b.label.clone(),
        submergence: a.submergence.value,
        lift: a.lift.value,
        air_difference: base(off - 1.0),
        slope,
        // d = ln(Q₂/Q₁) − s ln(ṁ₂/ṁ₁)
        log_difference: q.ln() - slope.unwrap_or(0.0) * off.ln(),
    }))
}
