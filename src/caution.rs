//! What a result should be read with: stable codes, numbers as fields, wording free to improve.

use std::fmt;

use crate::error::Range;

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
    /// Air under pressure in the water can supersaturate it.
    GasSupersaturation {
        /// Injection depth, m.
        depth_m: f64,
    },
    /// Compressed air in plastic pipe.
    AirInPlasticPipe,
    /// Mains near water.
    MainsNearWater,
    /// The line must not siphon water back to the blower.
    BackSiphon,
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
            Self::GasSupersaturation { .. } => "gas_supersaturation",
            Self::AirInPlasticPipe => "air_in_plastic_pipe",
            Self::MainsNearWater => "mains_near_water",
            Self::BackSiphon => "back_siphon",
            Self::NotPressurePipe => "not_pressure_pipe",
            Self::PipeFromMemory => "pipe_from_memory",
            Self::BeyondCalibration { .. } => "beyond_calibration",
            Self::ParametersTradeOff { .. } => "parameters_trade_off",
            Self::ParameterAtBound { .. } => "parameter_at_bound",
            Self::FlatObjective { .. } => "flat_objective",
            Self::OneSetting => "one_setting",
        }
    }
}

impl fmt::Display for Caution {
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
                "ranking and rejections hang on the developing length of {bores} bores, the project's own fit: with less of it short wide risers do more, with more of it less; a bench trial decides"
            ),
            Self::LossOfAir => f.write_str(
                "loss of air is loss of flow and of oxygen: provide an alarm, standby air and emergency oxygen before animals depend on it",
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
            Self::BackSiphon => f.write_str("set the blower above the highest water level, or water siphons back into it when it stops"),
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
            Self::FlatObjective { parameter, share } => write!(
                f,
                "the {parameter} is held less firmly than its interval says: past its end the fit worsens by only {:.0} % of what it should",
                100.0 * share
            ),
        }
    }
}
