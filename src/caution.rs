//! What a result should be read with: stable codes, numbers as fields, wording free to improve.

use std::fmt;

use crate::error::{Range, Short};

/// A remark on a result that was computed all the same.
///
/// [`Caution::code`] is contract: programs may match on it. The wording is not.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum Caution {
    /// Submergence ratio below the published data.
    SubmergenceRatioLow {
        /// Submergence over riser length.
        ratio: f64,
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
    /// What a search rejects hangs on the developing length.
    DevelopingLengthDecides {
        /// The developing length in use, bores.
        bores: f64,
    },
    /// Loss of air is loss of life support.
    LossOfAir,
    /// The depth of injection can give more total gas pressure than the limit.
    TotalGasPressureAbove {
        /// Most from the depth, per cent of the barometer's.
        bound_percent: f64,
        /// The limit.
        limit_percent: f64,
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
    /// A lift that gets no air.
    LiftWithoutAir {
        /// Its name.
        lift: String,
    },
    /// A lift whose air is off its design by more than the tolerance.
    AirOffDesign {
        /// Its name.
        lift: String,
        /// Air over the design, less one.
        off: f64,
        /// The tolerance.
        tolerance: f64,
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
    /// A riser outside what was tried on the rig behind a calibration.
    BeyondCalibration {
        /// What is outside.
        what: &'static str,
        /// The value, in the range's unit.
        value: f64,
        /// What the rig had.
        range: Range,
    },
    /// Two parameters of a calibration that make up for each other.
    ParametersTradeOff {
        /// One of them.
        first: &'static str,
        /// The other.
        second: &'static str,
        /// Correlation of their estimates.
        correlation: f64,
    },
    /// A parameter of a calibration at the end of what it can be.
    ParameterAtBound {
        /// The parameter.
        parameter: &'static str,
        /// Its value.
        value: f64,
        /// What it can be.
        range: Range,
    },
    /// The fit hardly worsens as a parameter leaves its interval: the interval is too narrow.
    FlatObjective {
        /// The parameter.
        parameter: &'static str,
        /// Rise of the sum of squares at the end of the interval, over what the interval supposes.
        share: f64,
    },
    /// A calibration on runs at one setting alone.
    OneSetting,
    /// A need of water is a mean of the day.
    MeansOfTheDay,
    /// Animals that get no feed, and no oxygen use of their own.
    UnfedAnimals,
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
    /// The stable code.
    #[must_use]
    pub fn code(&self) -> &'static str {
        match self {
            Self::SubmergenceRatioLow { .. } => "submergence_ratio_low",
            Self::BoreSmall { .. } => "bore_small",
            Self::BoreLarge { .. } => "bore_large",
            Self::RiserShort { .. } => "riser_short",
            Self::AnnularAtTop => "annular_at_top",
            Self::OutsideClosure { .. } => "outside_closure",
            Self::Choked => "choked",
            Self::OutletHeadUnstated => "outlet_head_unstated",
            Self::OutletRunsFull { .. } => "outlet_runs_full",
            Self::BrinkReading => "brink_reading",
            Self::SaltWater { .. } => "salt_water",
            Self::AirLineInside => "air_line_inside",
            Self::RunsByGravity => "runs_by_gravity",
            Self::LowOnCurve { .. } => "low_on_curve",
            Self::DevelopingLengthDecides { .. } => "developing_length_decides",
            Self::LossOfAir => "loss_of_air",
            Self::TotalGasPressureAbove { .. } => "total_gas_pressure_above",
            Self::GasSupersaturation { .. } => "gas_supersaturation",
            Self::AirInPlasticPipe => "air_in_plastic_pipe",
            Self::MainsNearWater => "mains_near_water",
            Self::OxygenTakenOut => "oxygen_taken_out",
            Self::BackSiphon => "back_siphon",
            Self::CheckValveAlone => "check_valve_alone",
            Self::BlowerBelowWater { .. } => "blower_below_water",
            Self::OxygenRunsOut { .. } => "oxygen_runs_out",
            Self::IntakeAir => "intake_air",
            Self::DeadHead => "dead_head",
            Self::Noise => "noise",
            Self::NoStandby => "no_standby",
            Self::EfficiencyUnknown => "efficiency_unknown",
            Self::HotDischarge { .. } => "hot_discharge",
            Self::HeaderTooHot { .. } => "header_too_hot",
            Self::FastAir { .. } => "fast_air",
            Self::LiftWithoutAir { .. } => "lift_without_air",
            Self::AirOffDesign { .. } => "air_off_design",
            Self::BranchChoked { .. } => "branch_choked",
            Self::BeyondLossCurve { .. } => "beyond_loss_curve",
            Self::SoftBalance { .. } => "soft_balance",
            Self::SomeLiftsDoNotStart => "some_lifts_do_not_start",
            Self::NotPressurePipe => "not_pressure_pipe",
            Self::PipeFromMemory => "pipe_from_memory",
            Self::BeyondCalibration { .. } => "beyond_calibration",
            Self::ParametersTradeOff { .. } => "parameters_trade_off",
            Self::ParameterAtBound { .. } => "parameter_at_bound",
            Self::FlatObjective { .. } => "flat_objective",
            Self::OneSetting => "one_setting",
            Self::MeansOfTheDay => "means_of_the_day",
            Self::UnfedAnimals => "unfed_animals",
            Self::DefaultFromMemory { .. } => "default_from_memory",
            Self::LiftsNotEnough { .. } => "lifts_not_enough",
        }
    }
}

impl fmt::Display for Caution {
    #[allow(clippy::too_many_lines, reason = "one arm for each caution")]
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SubmergenceRatioLow { ratio } => write!(
                f,
                "outside the data: submergence ratio {ratio:.2} is below 0.4; flow is uncertain there, even whether it starts"
            ),
            Self::BoreSmall { bore_mm } => {
                write!(f, "outside the data: a bore of {bore_mm:.1} mm is below 10 mm, where surface tension rules")
            }
            Self::BoreLarge { bore_mm } => {
                write!(f, "outside the data: a bore of {bore_mm:.1} mm is above the widest published riser, 100 mm")
            }
            Self::RiserShort { bores } => {
                write!(f, "outside the data: a riser of {bores:.1} bores is shorter than 5; the flow never develops")
            }
            Self::AnnularAtTop => f.write_str("annular flow at the top: outside the data behind the void fraction; use less air or a wider bore"),
            Self::OutsideClosure { closure, what, value, range } => {
                write!(f, "{closure} is outside its range: {what} is {value:.4} {}, stated for {range}", range.unit)
            }
            Self::Choked => f.write_str("the mouth is choked: more air cannot leave any faster"),
            Self::OutletHeadUnstated => f.write_str(
                "open top with no outlet head: water must rise some way above the rim to spill, so the real flow is lower; measure that height and give it as outlet_head",
            ),
            Self::OutletRunsFull { flow_l_per_min, limit_l_per_min } => write!(
                f,
                "the horizontal outlet runs full at {flow_l_per_min:.0} L/min (part-full up to {limit_l_per_min:.0} L/min): its head is a continuation, not a formula with a source; use a wider outlet pipe"
            ),
            Self::BrinkReading => f.write_str(
                "the head at the outlet's brink is taken as a height of mixture; read as clear water it lowers the flow by some 8 to 10 %",
            ),
            Self::SaltWater { salinity_g_per_kg } => write!(
                f,
                "no void-fraction closure was fitted to salt water ({salinity_g_per_kg:.1} g/kg): bubbles stay smaller in it"
            ),
            Self::AirLineInside => f.write_str("an air line inside the riser: the annulus is computed by its hydraulic diameter, without data on airlifts"),
            Self::RunsByGravity => f.write_str("the outlet lies below the source's water level: water runs without air, and a stop of the air does not stop it"),
            Self::LowOnCurve { share_of_peak } => write!(
                f,
                "the flow is {:.0} % of this riser's peak; below 30 % it hangs on small changes of level and air",
                100.0 * share_of_peak
            ),
            Self::DevelopingLengthDecides { bores } => write!(
                f,
                "ranking and rejections hang on the developing length of {} bores, the project's own fit: with less of it short wide risers do more, with more of it less; a bench trial decides",
                Short((1e4 * bores).round() / 1e4)
            ),
            Self::LossOfAir => f.write_str(
                "loss of air is loss of flow and of oxygen: provide an alarm, standby air and emergency oxygen before animals depend on it",
            ),
            Self::TotalGasPressureAbove { bound_percent, limit_percent } => write!(
                f,
                "the depth of injection allows up to {bound_percent:.1} % total gas pressure, above the limit of {limit_percent:.1} %: inject higher, or let the water degas over a fall or packing"
            ),
            Self::GasSupersaturation { depth_m } => write!(
                f,
                "air injected {depth_m:.2} m down can supersaturate the water with nitrogen: measure total gas pressure before stocking"
            ),
            Self::AirInPlasticPipe => f.write_str(
                "compressed air in plastic pipe can burst it into shards, and a blower's hot air softens it: follow the pipe maker and local codes",
            ),
            Self::MainsNearWater => f.write_str(
                "mains power near water: residual-current protection and bonding by a licensed electrician, to the local code",
            ),
            Self::OxygenTakenOut => f.write_str(
                "an aeration test takes the oxygen out of the water, and that kills: no animals in the tank, and none of its water to animals while oxygen is low or sulphite is left",
            ),
            Self::BackSiphon => f.write_str("set the blower above the highest water level, or water siphons back into it when it stops"),
            Self::CheckValveAlone => f.write_str("a check valve can fail on dirt or wear: the blower above the water is what keeps the water out of it, and the air line should rise above the water before it drops to the injector"),
            Self::BlowerBelowWater { height_m } => write!(
                f,
                "the blower stands {:.2} m below the highest water level: when it stops, water runs back into it; set it above the water, or raise the line above the water with a vacuum break", -height_m
            ),
            Self::OxygenRunsOut { minutes } => write!(
                f,
                "loss of air is loss of life support: oxygen falls to the limit in {:.0} min (a plain balance; fed or frightened animals take more), so an alarm, standby air and emergency oxygen must act well before that",
                minutes.floor()
            ),
            Self::IntakeAir => f.write_str("what the blower takes in reaches the animals: filter and site the intake away from oil mist, exhaust and solvents"),
            Self::DeadHead => f.write_str("a blower must never run against a closed line: a displacement blower needs a relief valve, a side-channel blower a bleed or relief below its rated maximum"),
            Self::Noise => f.write_str("blowers are loud: hearing protection and limits of exposure by local law (often 80 to 90 dBA over a working day)"),
            Self::NoStandby => f.write_str("no blower stands by: one failure stops every lift"),
            Self::EfficiencyUnknown => f.write_str("the efficiency of blower and motor is not given, so there is no power at the wire: take it from the maker's table"),
            Self::HotDischarge { temperature_c, at_least } => write!(
                f,
                "air leaves the blower at {}{temperature_c:.0} degC, with its loss as heat: metal pipe for the first metres until it has cooled (PVC keeps half its strength at 43 degC and none of its rating above 60), and guard hot surfaces",
                if *at_least { "no less than " } else { "" }
            ),
            Self::HeaderTooHot { temperature_c } => write!(
                f,
                "air reaches the header at {temperature_c:.0} degC: PVC has no pressure rating above 60 degC"
            ),
            Self::FastAir { line, velocity_m_per_s, usual } => write!(
                f,
                "the air in the {line} goes {velocity_m_per_s:.1} m/s, faster than usual ({usual}): it will be loud, and a wider pipe costs less pressure"
            ),
            Self::LiftWithoutAir { lift } => write!(f, "{lift} gets no air: its water stands too deep for the header's pressure"),
            Self::AirOffDesign { lift, off, tolerance } => write!(
                f,
                "{lift} gets {:+.1} % of its design air, beyond the {:.1} % allowed",
                100.0 * off, 100.0 * tolerance
            ),
            Self::BranchChoked { lift } => write!(f, "the air to {lift} runs at the velocity of sound somewhere: loud, and more pressure behind it brings no more air there"),
            Self::BeyondLossCurve { lift } => write!(f, "the diffuser of {lift} gets more air than its loss curve holds: its loss is a straight continuation"),
            Self::SoftBalance { loss_kpa } => write!(
                f,
                "a branch costs only {loss_kpa:.2} kPa between header and water: a level change of 5 cm (0.49 kPa) moves much of its air to other lifts; use orifices that cost several times that"
            ),
            Self::SomeLiftsDoNotStart => f.write_str("while all risers stand full of water, some lift gets no air from this blower: start lifts one after the other, or use more pressure"),
            Self::NotPressurePipe => f.write_str("this is drain or sewer pipe, not a pressure pipe: for the riser alone, never for the air line"),
            Self::PipeFromMemory => f.write_str("this pipe's wall is recalled, not read in its standard: measure the bore before you build"),
            Self::BeyondCalibration { what, value, range } => write!(
                f,
                "beyond the calibration: {what} is {value:.4} {}, the rig had {:.4} to {:.4}", range.unit, range.min, range.max
            ),
            Self::ParametersTradeOff { first, second, correlation } => write!(
                f,
                "{first} and {second} make up for each other (correlation {correlation:.3}): neither number means much alone; vary air flow and submergence more, or fit one of them"
            ),
            Self::ParameterAtBound { parameter, value, range } => write!(
                f,
                "the {parameter} went to the end of what it can be, {value:.4} of {range}: something else differs between rig and model"
            ),
            Self::OneSetting => f.write_str(
                "one setting cannot tell a parameter from an error of the model there; vary depth or lift to calibrate parameters",
            ),
            Self::UnfedAnimals => f.write_str(
                "animals without feed are counted as using no oxygen, but they breathe: give their least_oxygen_use",
            ),
            Self::MeansOfTheDay => f.write_str(
                "the need is a mean of the day: animals use more oxygen for hours after a meal, so leave a margin or feed in small parts, and measure the oxygen then",
            ),
            Self::DefaultFromMemory { line, defaults } => write!(
                f,
                "the need is governed by {}, which rests on defaults recalled, not read in their source: {}; give your own values",
                line.replace('_', " "),
                defaults.join("; ")
            ),
            Self::LiftsNotEnough { missing_l_per_min, weeks } => {
                write!(f, "the lifts are not enough: {} L/min are missing", Short(four_digits(*missing_l_per_min)))?;
                for (n, (first, last)) in weeks.iter().enumerate() {
                    f.write_str(if n == 0 { ", in weeks " } else { ", " })?;
                    if first == last {
                        write!(f, "{first}")?;
                    } else {
                        write!(f, "{first} to {last}")?;
                    }
                }
                f.write_str("; install more lifts, or hold fewer animals")
            }
            Self::FlatObjective { parameter, share } => write!(
                f,
                "the {parameter} is held less firmly than its interval says: past its end the fit worsens by only {:.0} % of what it should",
                100.0 * share
            ),
        }
    }
}

fn four_digits(value: f64) -> f64 {
    format!("{value:.3e}").parse().unwrap_or(value)
}
