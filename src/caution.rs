//! What a result should be read with: stable codes, numbers as fields, wording free to improve.

mod rig;
mod words;

use strum::VariantNames;

use crate::error::Range;
pub use rig::{Difference, Stretch};

/// A remark on a result that was computed all the same.
///
/// [`Caution::code`] is contract: programs may match on it. The wording is not.
#[derive(Debug, Clone, PartialEq, strum::IntoStaticStr, strum::VariantNames)]
#[strum(serialize_all = "snake_case")]
#[non_exhaustive]
pub enum Caution {
    /// Submergence ratio below the published data.
    SubmergenceRatioLow {
        /// Submergence over riser length.
        ratio: f64,
        /// The lowest that the slip closure in use holds for.
        lowest: f64,
        /// A slip closure made for such ratios, where another is in use.
        closure: Option<&'static str>,
    },
    /// Bore below the published data.
    BoreSmall {
        /// Bore, mm.
        bore_mm: f64,
    },
    /// Bore above the published data.
    BoreLarge {
        /// Bore, mm.
        bore_mm: f64,
    },
    /// Riser of a few bores: the flow never develops.
    RiserShort {
        /// Length in bores.
        bores: f64,
    },
    /// Annular flow at the top: slip closures are not meant for it.
    AnnularAtTop,
    /// A closure used outside the range that its source states.
    OutsideClosure {
        /// Name of the closure.
        closure: &'static str,
        /// What is outside.
        what: &'static str,
        /// The value, in the range's unit.
        value: f64,
        /// The stated range.
        range: Range,
    },
    /// The mouth is choked: the gas leaves at its limiting velocity.
    Choked,
    /// An open top whose outlet head was left at zero.
    OutletHeadUnstated,
    /// The horizontal outlet pipe runs full.
    OutletRunsFull {
        /// Water flow, L/min.
        flow_l_per_min: f64,
        /// Largest flow that runs part-full, L/min.
        limit_l_per_min: f64,
    },
    /// The head at the brink may be a height of mixture or of clear water.
    BrinkReading,
    /// Salt water: no closure was fitted to it.
    SaltWater {
        /// Salinity, g/kg.
        salinity_g_per_kg: f64,
    },
    /// An air line inside the riser: closures are used with the hydraulic diameter.
    AirLineInside,
    /// The outlet lies below the water level: water runs without air.
    RunsByGravity,
    /// Water flow below the part of the curve that the published data cover.
    LowOnCurve {
        /// Flow over the peak flow.
        share_of_peak: f64,
    },
    /// The best design of a search misses its duty at low water.
    ShortAtLowWater {
        /// Fall of the water level below normal, m.
        fall_m: f64,
        /// Water flow of each lift then, with the air of the design, L/min.
        given_l_per_min: f64,
        /// Water flow that each lift must give, L/min.
        share_l_per_min: f64,
        /// Air flow of each lift that gives it at low water, dry at 20 degC and 101.325 kPa, L/min; none
        /// when no air flow does.
        air_l_per_min: Option<f64>,
    },
    /// What a search rejects hangs on the developing length.
    DevelopingLengthDecides {
        /// The longest developing length in use, m; none where bores alone count.
        length_m: Option<f64>,
        /// The most bores of it; none where a length alone counts.
        bores: Option<f64>,
    },
    /// Loss of air is loss of life support.
    LossOfAir,
    /// The depth of injection can let water leave with more total gas pressure than the limit.
    TotalGasPressureAbove {
        /// Most of the water that leaves, per cent of the barometer's.
        bound_percent: f64,
        /// The limit.
        limit_percent: f64,
    },
    /// The water enters with more total gas pressure than the limit.
    EntersWithMuchGas {
        /// That of the water that enters, per cent of the barometer's.
        percent: f64,
        /// The limit.
        limit_percent: f64,
    },
    /// The water enters a tank with more oxygen than air keeps in it.
    OxygenAboveSaturation {
        /// Oxygen that enters, mg/L.
        entering_mg_per_l: f64,
        /// Saturation with air, mg/L.
        saturation_mg_per_l: f64,
    },
    /// Air under pressure in the water can supersaturate it.
    GasSupersaturation {
        /// Injection depth, m.
        depth_m: f64,
    },
    /// Compressed air in plastic pipe.
    AirInPlasticPipe,
    /// Mains near water.
    MainsNearWater,
    /// An aeration test starts without oxygen in the water.
    OxygenTakenOut,
    /// The line must not siphon water back to the blower.
    BackSiphon,
    /// A blower above the water, whose check valve may fail all the same.
    CheckValveAlone,
    /// A blower below the highest water level.
    BlowerBelowWater {
        /// Its height over the water, below zero, m.
        height_m: f64,
    },
    /// Time until the oxygen has fallen to the animals' limit.
    OxygenRunsOut {
        /// Minutes.
        minutes: f64,
    },
    /// The air that the blower takes in reaches the animals.
    IntakeAir,
    /// A closed valve must not stop a blower's flow.
    DeadHead,
    /// Blowers are loud.
    Noise,
    /// No blower stands by.
    NoStandby,
    /// The efficiency of the blower was not given.
    EfficiencyUnknown,
    /// Hot air at the discharge.
    HotDischarge {
        /// Its temperature, degC.
        temperature_c: f64,
        /// Whether that is only the least possible.
        at_least: bool,
    },
    /// Air too hot for plastic pipe reaches the header.
    HeaderTooHot {
        /// Its temperature, degC.
        temperature_c: f64,
        /// Whether the temperature was given, or is that of the blower's outlet.
        given: bool,
    },
    /// Air faster than usual in a line.
    FastAir {
        /// The line.
        line: &'static str,
        /// Velocity, m/s.
        velocity_m_per_s: f64,
        /// Usual velocities.
        usual: Range,
    },
    /// The lifts take more air than the blower's table holds.
    PastBlowerTable {
        /// Largest air flow of the table, dry at 20 degC and 101.325 kPa, L/min.
        last_l_per_min: f64,
        /// Pressure rise that the lifts need at that flow, kPa.
        needed_kpa: f64,
        /// Pressure rise of the blower there, kPa.
        given_kpa: f64,
    },
    /// The lifts take less air than the blower's table starts with.
    BeforeBlowerTable {
        /// Air flow of the blower, dry at 20 degC and 101.325 kPa, L/min.
        air_l_per_min: f64,
        /// Smallest air flow of the table, likewise, L/min.
        first_l_per_min: f64,
    },
    /// Lifts that get no air.
    LiftWithoutAir {
        /// How many.
        lifts: usize,
        /// The first of them.
        lift: String,
        /// Gauge pressure in the header at its tee, kPa.
        header_kpa: f64,
        /// Gauge pressure of its water, kPa.
        water_kpa: f64,
    },
    /// Lifts whose air is off their design by more than the tolerance.
    AirOffDesign {
        /// How many.
        lifts: usize,
        /// Name of the one that is farthest off.
        lift: String,
        /// Its air over the design, less one.
        off: f64,
        /// The tolerance.
        tolerance: f64,
    },
    /// Orifices wider than the standard behind their loss.
    OrificeWide {
        /// How many.
        lifts: usize,
        /// Name of the lift with the widest.
        lift: String,
        /// Its hole over the bore of its branch.
        over_bore: f64,
    },
    /// A branch whose air runs at the velocity of sound.
    BranchChoked {
        /// Its lift.
        lift: String,
    },
    /// More air than a diffuser's loss curve holds.
    BeyondLossCurve {
        /// Its lift.
        lift: String,
    },
    /// Branches that cost little beside what water levels move.
    SoftBalance {
        /// Smallest loss of a branch, kPa.
        loss_kpa: f64,
    },
    /// A lift that gets no air while all risers are full of water.
    SomeLiftsDoNotStart,
    /// The pipe is not a pressure pipe.
    NotPressurePipe,
    /// The pipe's dimensions are from memory.
    PipeFromMemory,
    /// A bench trial of another rig says nothing of this riser.
    AnotherRig {
        /// What parts them.
        part: Difference,
    },
    /// The nearest measured air flow of a trial is far.
    BeyondTrialAir {
        /// The larger of the two air flows over the smaller.
        times: f64,
    },
    /// The nearest measured depth of a trial is far.
    BeyondTrialDepth {
        /// Distance in submergence ratio.
        away: f64,
    },
    /// The interval is wider, since no rig behind the law is like this riser.
    IntervalStretched {
        /// In what it is unlike them, each with its factor.
        wider: Vec<(Stretch, f64)>,
    },
    /// The interval is wider, since no rig behind the law had an injector of this kind.
    InjectorUnlikeRigs {
        /// The injector.
        injector: &'static str,
    },
    /// The outlet is not stated, and much hangs on it.
    OutletDecides {
        /// Water flow with the plain outlet that is taken, L/min.
        plain_l_per_min: f64,
        /// Water flow with an elbow at the same height, L/min.
        elbow_l_per_min: f64,
    },
    /// A reading that the others of its trial do not let expect.
    ReadingStandsOut {
        /// Its run.
        run: String,
        /// How far it is off, in standard deviations.
        deviations: f64,
        /// Points of the trial.
        points: usize,
    },
    /// A reading far outside all that was expected of it.
    ReadingFarOff {
        /// Its run.
        run: String,
        /// What was read, L/min.
        read_l_per_min: f64,
        /// Lower end of the interval before the trial, L/min.
        low_l_per_min: f64,
        /// Upper end, L/min.
        high_l_per_min: f64,
    },
    /// A reading that leaves the interval wide at its own air flow.
    ReadingNarrowsLittle {
        /// Its run.
        run: String,
        /// Lower end of the interval after the trial, L/min.
        low_l_per_min: f64,
        /// Upper end, L/min.
        high_l_per_min: f64,
    },
    /// A need of water is a mean of the day.
    MeansOfTheDay,
    /// Animals that get no feed, and no oxygen use of their own.
    UnfedAnimals,
    /// Lifts of a loop without a transfer coefficient are taken at their ceiling.
    LoopAtCeiling,
    /// Free carbon dioxide is followed, not the carbonate that it turns into.
    FreeCarbonDioxide,
    /// The rate of a loop's filter does not follow its oxygen.
    FilterOxygenNotFollowed,
    /// A line that governs a need rests on defaults from memory.
    DefaultFromMemory {
        /// The line.
        line: &'static str,
        /// Names of the defaults.
        defaults: Vec<&'static str>,
    },
    /// All lifts together give less water than is needed.
    LiftsNotEnough {
        /// The most that is missing, L/min.
        missing_l_per_min: f64,
        /// First and last of the weeks in a row in which it is so; empty where the need is always the same.
        weeks: Vec<(usize, usize)>,
    },
}

impl Caution {
    /// Every code.
    pub const CODES: &[&str] = Self::VARIANTS;

    /// The stable code: the variant's name in snake case.
    #[must_use]
    pub fn code(&self) -> &'static str {
        self.into()
    }
}

/// Its code, and its words in metric units.
impl serde::Serialize for Caution {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        with_code(self.code(), &self.to_string(), serializer)
    }
}

/// A code that does not change, and words that may.
pub(crate) fn with_code<S: serde::Serializer>(
    code: &str,
    message: &str,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    use serde::ser::SerializeStruct;
    let mut remark = serializer.serialize_struct("Remark", 2)?;
    remark.serialize_field("code", code)?;
    remark.serialize_field("message", message)?;
    remark.end()
}
