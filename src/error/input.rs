//! The inputs that a caller or a design file gives.

use std::fmt;

macro_rules! inputs {
    ($($(#[$doc:meta])* $name:ident => $key:literal, $words:literal;)*) => {
        /// An input that a caller or a design file gives.
        ///
        /// [`Input::key`] is the key of the design file that carries it.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum Input {
            $(#[doc = $words] $name,)*
        }

        impl Input {
            /// The key in a design file, as `section.key`; empty for what files do not carry.
            #[must_use]
            pub fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)* }
            }
        }

        impl fmt::Display for Input {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(match self { $(Self::$name => $words,)* })
            }
        }
    };
}

inputs! {
    WaterTemperature => "water.temperature", "water temperature";
    Salinity => "water.salinity", "salinity";
    WaterDensity => "water.density", "water density";
    WaterViscosity => "water.viscosity", "water viscosity";
    SurfaceTension => "water.surface_tension", "surface tension";
    VapourPressure => "water.vapour_pressure", "vapour pressure";
    Altitude => "site.altitude", "altitude";
    AtmosphericPressure => "site.pressure", "atmospheric pressure";
    AirTemperature => "air.reference", "temperature of the air's reference state";
    AirPressure => "air.reference", "absolute pressure of the air's reference state";
    AirHumidity => "air.reference", "relative humidity of the air's reference state";
    AirFlow => "air.flow", "air flow";
    Bore => "riser.bore", "bore";
    LostBore => "riser.lost_bore", "bore lost to fouling";
    AirLineDiameter => "riser.air_line", "outside diameter of the air line";
    Roughness => "riser.roughness", "roughness";
    Submergence => "riser.submergence", "submergence";
    Lift => "riser.lift", "lift";
    SuctionLength => "riser.suction_length", "suction length";
    EntranceLoss => "riser.entrance_loss", "entrance loss coefficient";
    InjectorLoss => "riser.injector_loss", "injector loss coefficient";
    OutletLoss => "riser.outlet_loss", "outlet loss coefficient";
    OutletBore => "riser.outlet_bore", "bore of the horizontal outlet pipe";
    OutletHead => "riser.outlet_head", "outlet head";
    OutletDepth => "riser.outlet_depth", "depth of the submerged outlet";
    DevelopingLength => "model.developing_length", "developing length";
    Reach => "", "reach of the model's error at a setting";
    GasPressure => "", "absolute pressure of the gas";
    GasFraction => "", "mole fraction of the gas";
    PartialPressure => "", "partial pressure of the gas";
    DissolvedGas => "", "dissolved gas";
    InjectionDepth => "", "depth of injection";
    GasToLiquid => "", "volume of gas over that of water";
    DiffusionExponent => "", "exponent of the ratio of diffusion coefficients";
    TransferCoefficient => "", "transfer coefficient kLa";
    TransferRate => "", "oxygen transfer rate";
    AerationTheta => "", "temperature factor theta";
    TestOxygenShare => "", "oxygen at which a test is compared, over its saturation";
    AerationAlpha => "", "alpha, kLa in this water over clean water";
    AerationBeta => "", "beta, saturation in this water over clean water";
    AeratedVolume => "", "volume of aerated water";
    AerationTime => "", "time of a reading";
    AeratorPower => "", "power of the aerator";
    Probes => "", "number of probes";
    Stations => "", "number of stations of a profile";
    SuperficialVelocity => "", "superficial velocity";
    GasDensity => "", "gas density";
    GasViscosity => "", "gas viscosity";
    VoidFraction => "", "void fraction";
    ReynoldsNumber => "", "Reynolds number";
    RelativeRoughness => "", "relative roughness";
    FittingBore => "", "bore of the fitting";
    NominalSize => "", "nominal size of the fitting";
    WiderBore => "", "bore of the wider pipe";
    DrilledHole => "", "diameter of the drilled hole";
    WaterFlow => "duty.water_flow", "water flow";
    DutyLift => "duty.lift", "lift of the duty";
    MinSubmergence => "limits.min_submergence", "smallest submergence";
    MaxSubmergence => "limits.max_submergence", "largest submergence";
    SubmergenceStep => "limits.submergence_step", "step of submergence";
    Depths => "limits.submergence_step", "number of depths to search";
    MaxLifts => "limits.max_lifts", "largest number of lifts";
    MaxAirPressure => "limits.max_air_pressure", "largest air pressure";
    MaxTotalGasPressure => "limits.max_total_gas_pressure", "largest total gas pressure";
    TotalGasPressureLimit => "gas.total_gas_pressure_limit", "limit of total gas pressure";
    PeakReserve => "limits.peak_reserve", "reserve below the peak flow";
    FouledBore => "limits.fouling", "bore lost to fouling before cleaning";
    PipeBore => "pipe.bore", "bore of the pipe";
    PipeOutsideDiameter => "pipe.outside_diameter", "outside diameter of the pipe";
    Pipes => "limits.standards", "pipes to search";
    Candidates => "limits.max_lifts", "number of candidates (pipes × depths × numbers of lifts)";
    WidestPipe => "limits.standards", "bore of the widest pipe";
    LowWater => "tank.level_fall", "fall of the tank's water level";
    HighWater => "tank.level_rise", "rise of the tank's water level";
    CoverageLevel => "", "coverage probability";
    DegreesOfFreedom => "", "degrees of freedom";
    WantedUncertainty => "trial.wanted", "wanted relative uncertainty";
    WantedWidth => "trial.wanted_width", "wanted half width of the interval";
    WaterVolume => "trial.container", "volume of water";
    WaterMass => "", "mass of water";
    WaterTime => "", "time of the water";
    BottleVolume => "trial.bottle", "volume of air in the bottle";
    AirTime => "", "time of the air";
    Repeatability => "", "standard deviation of a single time";
    BottleLevel => "", "water level in the bottle above the bath";
    BottleTemperature => "", "temperature of the air in the bottle";
    Barometer => "", "station barometer";
    BottleSuction => "", "vapour pressure and suction in the bottle";
    WeighingAir => "", "density of the air round the balance";
    Instrument => "", "uncertainty of an instrument";
    InstrumentShare => "", "share or correlation of timing errors";
    Pulsation => "trial.pulsation", "scatter of single times by pulsation, relative";
    TankArea => "trial.tank_area", "area of the source tank's water surface";
    PlannedRuns => "trial.air_flows", "number of runs to plan (depths × lifts × air flows)";
    RangeCount => "", "number of values in a range";
    AirTolerance => "", "largest difference of the air flows of a pair, relative";
    MeasuredPoints => "", "number of measured points";
    SettingTolerance => "", "largest difference of the lengths of a pair";
    ModelScatter => "", "scatter of measured about predicted flows";
    LineBore => "", "bore of an air line";
    LineLength => "", "length of an air line";
    LineRoughness => "", "roughness of an air line";
    LineLoss => "", "sum of the loss coefficients of an air line";
    LineTemperature => "", "temperature of the air in a line";
    LinePressure => "", "absolute pressure in an air line";
    UpstreamPressure => "", "absolute pressure upstream";
    WantedLoss => "", "wanted loss of an air line";
    HoleDiameter => "", "diameter of a drilled hole";
    Holes => "", "number of holes";
    DischargeCoefficient => "", "discharge coefficient";
    DiffuserLoss => "branch.diffuser_loss", "loss of a diffuser";
    CurvePoints => "", "number of points of a curve";
    LossPoints => "branch.diffuser_loss", "number of points of a loss curve";
    BranchDistance => "lift.at", "distance of a branch along the header";
    HeaderFeed => "header.feed", "place of the header's feed";
    Branches => "", "number of branches on a header";
    ValveLoss => "branch.valve_loss", "loss coefficient of a valve";
    TeeLoss => "header.tee_run_loss", "loss coefficient of a tee's run";
    CheckValve => "branch.check_valve", "opening pressure of a check valve";
    InjectorFouling => "", "fouling of an injector";
    WaterPressure => "", "pressure of the water at an injector";
    OrificeLoss => "balance.least_loss", "smallest loss of an orifice";
    SupplyLoss => "", "loss between blower and water";
    BlowerHeight => "blower.height", "height of the blower over the highest water level";
    IntakeLoss => "blower.intake_loss", "loss of the intake filter";
    WirePower => "", "power at the wire";
    Price => "tariff.price", "price of a kilowatt-hour";
    Stocking => "stock.density", "stocking density";
    OxygenUse => "stock.oxygen_use", "oxygen that the animals take";
    Oxygen => "stock.oxygen", "dissolved oxygen";
    OxygenLimit => "stock.oxygen_limit", "limit of dissolved oxygen";
    IntakeTemperature => "blower.intake_temperature", "temperature at the blower's intake";
    IntakePressure => "", "absolute pressure at the blower's intake";
    InletFlow => "", "volume flow at the blower's inlet";
    PressureRise => "", "pressure rise of the blower";
    RiseMargin => "blower.rise_margin", "margin on the pressure rise";
    BlowerPower => "", "power of the blower";
    ShaftEfficiency => "blower.shaft_efficiency", "efficiency from shaft to air";
    MotorEfficiency => "blower.motor_efficiency", "efficiency of the motor";
    WireEfficiency => "blower.wire_efficiency", "efficiency from wire to air";
    SpeedRatio => "", "ratio of speeds";
    ArrivalTemperature => "blower.arrival_temperature", "temperature of the air at the header";
    IntakeHumidity => "blower.intake_humidity", "relative humidity at the blower's intake";
    StandbyCount => "blower.standby", "number of blowers that stand by";
    FittingCount => "", "number of a fitting";
    LiftTolerance => "balance.tolerance", "tolerance on the air of a lift";
    BlowerCount => "blower.running", "number of blowers";
    Biomass => "need.biomass", "mass of the animals";
    FeedShare => "need.feed_rate", "feed a day, as a share of the animals' mass";
    Feed => "need.feed", "feed a day";
    Protein => "need.protein", "protein in the feed";
    Ph => "need.ph", "pH";
    TankVolume => "need.volume", "volume of the tank";
    OxygenPerFeed => "need.oxygen_per_feed", "oxygen used for the feed";
    LeastOxygenUse => "need.least_oxygen_use", "oxygen that animals take without feed";
    TanPerProtein => "need.tan_per_protein", "total ammonia nitrogen for the protein fed";
    CarbonDioxidePerOxygen => "need.carbon_dioxide_per_oxygen", "carbon dioxide for the oxygen used";
    SolidsPerFeed => "need.solids_per_feed", "solids for the feed";
    EnteringOxygen => "need.entering_oxygen", "oxygen of the water that enters the tank";
    EnteringSaturation => "need.entering_saturation", "oxygen of the water that enters the tank, as a share of saturation";
    Reaeration => "need.reaeration", "efficiency of aeration, one pass";
    EnteringTan => "need.entering_tan", "total ammonia nitrogen of the water that enters the tank";
    TanRemoval => "need.tan_removal", "share of total ammonia nitrogen removed in one pass";
    EnteringCarbonDioxide => "need.entering_carbon_dioxide", "carbon dioxide of the water that enters the tank";
    CarbonDioxideRemoval => "need.carbon_dioxide_removal", "efficiency of degassing, one pass";
    MakeupFlow => "need.makeup_flow", "flow of makeup water";
    MakeupOxygen => "need.makeup_oxygen", "oxygen of the makeup water";
    MakeupTan => "need.makeup_tan", "total ammonia nitrogen of the makeup water";
    MakeupCarbonDioxide => "need.makeup_carbon_dioxide", "carbon dioxide of the makeup water";
    LeastOxygen => "need.least_oxygen", "least dissolved oxygen";
    TanLimit => "need.tan_limit", "limit of total ammonia nitrogen";
    AmmoniaLimit => "need.ammonia_limit", "limit of un-ionised ammonia nitrogen";
    CarbonDioxideLimit => "need.carbon_dioxide_limit", "limit of carbon dioxide";
    Turnover => "need.turnover", "turnover of the tank";
    CycleDays => "need.cycle", "length of the cycle";
    LiftFlow => "need.lift_flow", "water flow of a lift";
    LiftCount => "need.lifts", "number of lifts";
    OxygenSaturation => "", "oxygen of water in touch with air";
    AmmoniaFraction => "", "un-ionised share of the ammonia";
    CarbonDioxideOfAir => "", "carbon dioxide of water in touch with air";
}

/// Its key in a design file.
impl serde::Serialize for Input {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}
