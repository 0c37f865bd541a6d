//! Two configurations compared pair by pair.

use std::collections::BTreeMap;
use std::fmt;

use super::next::Order;
use super::plan::PlannedRun;
use super::prediction::{PredictedRuns, Prediction};
use super::run::{ReducedRun, same_configuration};
use super::verdict::{AGREEMENT, VERDICT_LEVEL, Verdict};
use crate::error::{Error, Input, range};
use crate::measurement::{coverage_factor, standard_deviation};
use crate::uncertainty::READING_NOISE;
use crate::units::{Length, Ratio, Time, base, kilogram_per_second, meter, ratio};

range!(AIR_TOLERANCE, 0 to 1, "Largest relative differences of the air flows of a pair.");
range!(SETTING_TOLERANCE, 0 to 10 "m", "Largest differences of the submergences and of the lifts of a pair.");
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

/// What brought two runs together.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    Hash,
    strum::IntoStaticStr,
    strum::VariantNames,
    serde::Serialize,
)]
#[strum(serialize_all = "snake_case")]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum Matched {
    /// They are neighbours on the bench.
    BenchOrder,
    /// Of the runs at their setting they have the nearest air flows.
    Air,
}

impl Matched {
    /// The name in reports.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.into()
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
    /// What brought them together.
    pub matched: Matched,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Unpaired {
    /// It is of neither configuration.
    OtherConfiguration,
    /// No run of the other configuration has its depth and lift.
    NoSuchSetting,
    /// None of those has an air flow near enough.
    NoSuchAir,
    /// Those that would do are paired with others.
    Taken,
    /// Theory lets no water flow there, so that the difference in air cannot be corrected.
    NoSlope,
}

impl Unpaired {
    /// The name in reports.
    #[must_use]
    pub fn code(self) -> &'static str {
        self.into()
    }
}

impl fmt::Display for Unpaired {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::OtherConfiguration => "is of neither configuration",
            Self::NoSuchSetting => "no run of the other configuration has its depth and lift",
            Self::NoSuchAir => "no run of the other configuration has an air flow near its own",
            Self::Taken => "the runs that would match are paired with others",
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
/// The order of the runs is taken for their order on the bench. At a setting where the two configurations
/// alternate (A B A B, or A B B A) neighbours make the pairs, so that a drift of the bench cancels as the
/// experimenter meant it to: that is where neighbours make as many pairs as the nearest air flows do.
/// Elsewhere the nearest air flows make the pairs.
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
    /// What it comes to.
    pub verdict: Verdict,
    /// Pairs that would tell a difference of this size, with this scatter; none when it is told
    /// already, when more than [`MOST_PAIRS`] would be needed, or for fewer than two pairs.
    pub pairs_needed: Option<usize>,
}

impl Comparison {
    /// Compares the runs of two configurations.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside [`AIR_TOLERANCE`] or [`SETTING_TOLERANCE`].
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::design::DesignFile;
    /// use risewater::trial::{
    ///     Comparison, DEMO, DEMO_RIG, Instruments, Matching, PredictedRuns, parse_runs, reduce,
    /// };
    ///
    /// let bench = DesignFile::parse(DEMO_RIG)?.bench()?;
    /// let runs = reduce(&parse_runs(DEMO)?, &Instruments::default())?;
    /// let predicted = PredictedRuns::of(&runs, bench.model, |_| bench.spec)?;
    /// let found = Comparison::of(&predicted, ["ring", "diffuser"], Matching::default())?;
    /// // The invented diffuser gives 0.97/0.92 of the ring's water, +5.4 %.
    /// let (low, high) = found.interval.ok_or("too few pairs")?;
    /// assert!(low.value < 0.054 && high.value > 0.054);
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(
        PredictedRuns(predicted): &PredictedRuns,
        [first, second]: [&str; 2],
        matching: Matching,
    ) -> Result<Self, Error> {
        let air =
            AIR_TOLERANCE.check(Input::AirTolerance, matching.air_tolerance.get::<ratio>())?;
        let setting = SETTING_TOLERANCE.check(
            Input::SettingTolerance,
            matching.setting_tolerance.get::<meter>(),
        )?;
        let runs: Vec<&ReducedRun> = predicted.iter().map(|(run, _)| *run).collect();
        let is = |n: usize, name: &str| same_configuration(&runs[n].configuration, name);
        let placed = |i: usize, j: usize| same_setting(runs[i], runs[j], setting);
        let off = |i: usize, j: usize| air_ratio(runs[i], runs[j]).ln().abs();
        let near = |i: usize, j: usize| placed(i, j) && off(i, j) <= air.ln_1p();
        let all = || 0..runs.len();
        let mut by_air = Vec::new();
        for i in all().filter(|i| is(*i, first)) {
            let partners = all().filter(|j| is(*j, second) && near(i, *j));
            by_air.extend(partners.map(|j| (i, j)));
        }
        // The nearest first; of equals, in the order of the sheet.
        by_air.sort_by(|a, b| off(a.0, a.1).total_cmp(&off(b.0, b.1)).then(a.cmp(b)));
        let bench: Vec<usize> = all().filter(|n| is(*n, first) || is(*n, second)).collect();
        let neighbours = bench.windows(2).filter_map(|ends| match *ends {
            [a, b] | [b, a] if is(a, first) && is(b, second) => Some((a, b)),
            _ => None,
        });
        let by_order: Vec<_> = neighbours.filter(|(i, j)| near(*i, *j)).collect();

        let mut solved = BTreeMap::new();
        let mut without_slope = Vec::new();
        let mut taken = |mut pairs: Vec<(usize, usize, Pair)>,
                         candidates: &[(usize, usize)],
                         matched|
         -> Result<Vec<(usize, usize, Pair)>, Error> {
            for &(i, j) in candidates {
                if pairs.iter().any(|(a, b, _)| *a == i || *b == j) {
                    continue;
                }
                let found = if let Some(found) = solved.get(&(i, j)) {
                    found
                } else {
                    let found = pair(runs[i], &predicted[j])?;
                    solved.entry((i, j)).or_insert(found)
                };
                match found.clone() {
                    Some(pair) => pairs.push((i, j, Pair { matched, ..pair })),
                    None => without_slope.extend([i, j]),
                }
            }
            Ok(pairs)
        };
        let nearest = taken(Vec::new(), &by_air, Matched::Air)?;
        let mut ordered = taken(Vec::new(), &by_order, Matched::BenchOrder)?;
        let at = |pairs: &[(usize, usize, Pair)], i: usize| {
            pairs.iter().filter(|(a, ..)| placed(*a, i)).count()
        };
        let alternate: Vec<usize> = all()
            .filter(|i| at(&ordered, *i) >= at(&nearest, *i))
            .collect();
        ordered.retain(|(i, ..)| alternate.contains(i));
        let mut pairs = taken(ordered, &by_air, Matched::Air)?;
        pairs.sort_by_key(|(i, ..)| *i);
        let paired = |n: usize| pairs.iter().any(|(i, j, _)| *i == n || *j == n);
        let unpaired = runs
            .iter()
            .enumerate()
            .filter(|(n, _)| !paired(*n))
            .map(|(n, run)| {
                let other = match n {
                    n if is(n, first) => second,
                    n if is(n, second) => first,
                    _ => return (run.label.clone(), Unpaired::OtherConfiguration),
                };
                let any = |fits: &dyn Fn(usize) -> bool| all().any(|o| is(o, other) && fits(o));
                let why = if without_slope.contains(&n) {
                    Unpaired::NoSlope
                } else if !any(&|o| placed(n, o)) {
                    Unpaired::NoSuchSetting
                } else if !any(&|o| near(n, o)) {
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
            verdict: Verdict::CannotTell,
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
        self.verdict = Verdict::of(mean, Some(half));
        if self.verdict != Verdict::Differs {
            for pairs in logs.len() + 1..=MOST_PAIRS {
                if half_width(deviation, pairs)? < mean.abs() {
                    self.pairs_needed = Some(pairs);
                    break;
                }
            }
        }
        Ok(())
    }

    /// One plain sentence on what the data can tell.
    #[must_use]
    pub fn statement(&self) -> String {
        let (n, verdict) = (self.pairs.len(), self.verdict);
        let said = format!("{:?} against {:?}: {verdict}", self.second, self.first);
        let s = if n == 1 { "" } else { "s" };
        let per_cent = |share: Ratio| 100.0 * share.get::<ratio>();
        let (Some(difference), Some((low, high))) = (self.difference, self.interval) else {
            return format!(
                "{said}; {n} pair{s}, no scatter to judge by: take two pairs at least."
            );
        };
        let said = format!(
            "{said}; {:+.1} % water (95 %: {:+.1} to {:+.1} %, {n} pairs)",
            per_cent(difference),
            per_cent(low),
            per_cent(high)
        );
        match (verdict, self.pairs_needed) {
            (Verdict::Differs, _) => format!("{said}."),
            (_, Some(needed)) => format!(
                "{said}; if difference and scatter stay as they are, at least {} more pair{} would tell them apart.",
                needed - n,
                if needed - n == 1 { "" } else { "s" }
            ),
            (_, None) => format!(
                "{said}; a difference as small as this does not show in {MOST_PAIRS} pairs of such scatter."
            ),
        }
    }

    /// One sentence on what brought the runs of the pairs together; none without pairs.
    #[must_use]
    pub fn matching_statement(&self) -> Option<String> {
        let ordered = self
            .pairs
            .iter()
            .filter(|pair| pair.matched == Matched::BenchOrder);
        Some(match (ordered.count(), self.pairs.len()) {
            (_, 0) => return None,
            (0, _) => {
                "Paired by the nearest air flow: the two do not alternate on the bench.".to_owned()
            }
            (ordered, all) if ordered == all => {
                "Paired by bench order: the two alternate on the bench.".to_owned()
            }
            (ordered, all) => format!(
                "Paired by bench order where the two alternate on the bench ({ordered} of {all} pairs), elsewhere by the nearest air flow."
            ),
        })
    }
}

/// Share of trials in which a difference that is there shall be told: our own choice.
const TOLD: f64 = 0.8;

/// What it takes to tell two configurations apart.
///
/// ```text
/// (t_{0.975, n−1} + t_{0.8, n−1}) √2 u/√n ≤ ln(1 + δ)
/// ```
///
/// | symbol | meaning |
/// |---|---|
/// | n | pairs |
/// | δ | difference that matters: [`AGREEMENT`] |
/// | u | scatter of a run's logarithm: 3 %, as two runs that are made alike differ, or what is expected of its water where that is more |
///
/// So a difference of δ is told in four trials of five, nearly.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct PairsToTell {
    /// The difference that matters.
    pub difference: Ratio,
    /// Scatter of one run.
    pub scatter: Ratio,
    /// Pairs; none where more than [`MOST_PAIRS`] would be needed.
    pub pairs: Option<usize>,
    /// Time of all their runs, without the changes of configuration between them.
    pub duration: Option<Time>,
}

impl PairsToTell {
    /// Pairs that tell a difference, with a scatter of single runs.
    ///
    /// # Errors
    /// As [`coverage_factor`].
    ///
    /// # Examples
    /// ```
    /// use risewater::trial::PairsToTell;
    /// use risewater::units::{Ratio, percent};
    ///
    /// let [difference, scatter] = [10.0, 3.0].map(Ratio::new::<percent>);
    /// // By hand, t of Student's table: (3.182 + 0.978) × 0.04243/√4 = 0.0882 is below ln 1.1 = 0.0953, and with
    /// // three pairs (4.303 + 1.061) × 0.04243/√3 = 0.131 is not.
    /// assert_eq!(PairsToTell::pairs(difference, scatter)?, Some(4));
    /// # Ok::<(), risewater::Error>(())
    /// ```
    pub fn pairs(difference: Ratio, scatter: Ratio) -> Result<Option<usize>, Error> {
        let of_pair = std::f64::consts::SQRT_2 * scatter.get::<ratio>();
        let told = difference.get::<ratio>().ln_1p();
        for pairs in 2..=MOST_PAIRS {
            let n = pairs as f64;
            // t_{0.8} one-sided is that of a level of 0.6 on both sides.
            let often = coverage_factor(base(2.0 * TOLD - 1.0), n - 1.0)?;
            if half_width(of_pair, pairs)? + often * of_pair / n.sqrt() <= told {
                return Ok(Some(pairs));
            }
        }
        Ok(None)
    }

    /// What the duty's run takes: the first of the order, or the first of the plan.
    pub(super) fn of(order: &Order, runs: &[PlannedRun]) -> Result<Self, Error> {
        let first = order.runs.first().map_or(0, |next| next.run);
        let run = runs.get(first);
        let expected = run
            .and_then(|run| run.effort)
            .map_or(0.0, |it| it.expected.value);
        let (difference, scatter) = (base(AGREEMENT), base(expected.max(READING_NOISE)));
        let pairs = Self::pairs(difference, scatter)?;
        Ok(Self {
            difference,
            scatter,
            pairs,
            duration: pairs.zip(run).map(|(n, run)| 2.0 * n as f64 * run.duration),
        })
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
fn pair(a: &ReducedRun, (b, at): &(&ReducedRun, Prediction)) -> Result<Option<Pair>, Error> {
    let off = air_ratio(a, b);
    let slope = if off == 1.0 {
        None
    } else {
        let slope = at.air_slope_to(a.air.air_flow())?;
        if slope.is_none() {
            return Ok(None);
        }
        slope
    };
    let q = (b.water_flow.value.value / a.water_flow.value.value).get::<ratio>();
    Ok(Some(Pair {
        first: a.label.clone(),
        second: b.label.clone(),
        matched: Matched::Air,
        submergence: a.submergence.value,
        lift: a.lift.value,
        air_difference: base(off - 1.0),
        slope,
        // d = ln(Q₂/Q₁) − s ln(ṁ₂/ṁ₁)
        log_difference: q.ln() - slope.unwrap_or(0.0) * off.ln(),
    }))
}
