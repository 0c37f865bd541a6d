//! The inputs that a caller or a design file gives.

use std::fmt;

macro_rules! inputs {
    ($($(#[$doc:meta])* $name:ident => $words:literal;)*) => {
        /// An input that a caller or a design file gives.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        #[non_exhaustive]
        pub enum Input {
            $(#[doc = $words] $name,)*
        }

        impl fmt::Display for Input {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(match self { $(Self::$name => $words,)* })
            }
        }
    };
}

inputs! {
    WaterTemperature => "water temperature";
    Salinity => "salinity";
    WaterDensity => "water density";
    WaterViscosity => "water viscosity";
    SurfaceTension => "surface tension";
    VapourPressure => "vapour pressure";
    Altitude => "altitude";
    AtmosphericPressure => "atmospheric pressure";
    AirTemperature => "temperature of the air's reference state";
    AirPressure => "absolute pressure of the air's reference state";
    AirHumidity => "relative humidity of the air's reference state";
    AirFlow => "air flow";
    Bore => "bore";
    LostBore => "bore lost to fouling";
    AirLineDiameter => "outside diameter of the air line";
    Roughness => "roughness";
    Submergence => "submergence";
    Lift => "lift";
    SuctionLength => "suction length";
    EntranceLoss => "entrance loss coefficient";
    InjectorLoss => "injector loss coefficient";
    OutletLoss => "outlet loss coefficient";
    OutletBore => "bore of the horizontal outlet pipe";
    OutletHead => "outlet head";
    OutletDepth => "depth of the submerged outlet";
    DevelopingLength => "developing length";
    Reach => "reach of the model's error at a setting";
    GasPressure => "absolute pressure of the gas";
    GasFraction => "mole fraction of the gas";
    PartialPressure => "partial pressure of the gas";
    DissolvedGas => "dissolved gas";
    InjectionDepth => "depth of injection";
    GasToLiquid => "volume of gas over that of water";
    DiffusionExponent => "exponent of the ratio of diffusion coefficients";
    TransferCoefficient => "transfer coefficient kLa";
    TransferRate => "oxygen transfer rate";
    AerationTheta => "temperature factor theta";
    TestOxygenShare => "oxygen at which a test is compared, over its saturation";
    AerationAlpha => "alpha, kLa in this water over clean water";
    AerationBeta => "beta, saturation in this water over clean water";
    AeratedVolume => "volume of aerated water";
    AerationTime => "time of a reading";
    AeratorPower => "power of the aerator";
    Probes => "number of probes";
    Stations => "number of stations of a profile";
    SuperficialVelocity => "superficial velocity";
    GasDensity => "gas density";
    GasViscosity => "gas viscosity";
    VoidFraction => "void fraction";
    ReynoldsNumber => "Reynolds number";
    RelativeRoughness => "relative roughness";
    FittingBore => "bore of the fitting";
    NominalSize => "nominal size of the fitting";
    WiderBore => "bore of the wider pipe";
    DrilledHole => "diameter of the drilled hole";
    WaterFlow => "water flow";
    DutyLift => "lift of the duty";
    MinSubmergence => "smallest submergence";
    MaxSubmergence => "largest submergence";
    SubmergenceStep => "step of submergence";
    Depths => "number of depths to search";
    MinLifts => "smallest number of lifts";
    MaxLifts => "largest number of lifts";
    MaxAirPressure => "largest air pressure";
    MaxTotalGasPressure => "largest total gas pressure";
    TotalGasPressureLimit => "limit of total gas pressure";
    PeakReserve => "reserve below the peak flow";
    FouledBore => "bore lost to fouling before cleaning";
    PipeBore => "bore of the pipe";
    PipeOutsideDiameter => "outside diameter of the pipe";
    Pipes => "pipes to search";
    Candidates => "number of candidates (pipes × depths × numbers of lifts)";
    WidestPipe => "bore of the widest pipe";
    NarrowestPipe => "bore of the narrowest pipe";
    MaxBore => "largest bore";
    LowWater => "fall of the tank's water level";
    HighWater => "rise of the tank's water level";
    CoverageLevel => "coverage probability";
    DegreesOfFreedom => "degrees of freedom";
    WantedUncertainty => "wanted relative uncertainty";
    WantedWidth => "wanted half width of the interval";
    WaterVolume => "volume of water";
    WaterMass => "mass of water";
    WaterTime => "time of the water";
    BottleVolume => "volume of air in the bottle";
    AirTime => "time of the air";
    Repeatability => "standard deviation of a single time";
    BottleLevel => "water level in the bottle above the bath";
    BottleTemperature => "temperature of the air in the bottle";
    Barometer => "station barometer";
    BottleSuction => "vapour pressure and suction in the bottle";
    WeighingAir => "density of the air round the balance";
    Instrument => "uncertainty of an instrument";
    InstrumentShare => "share or correlation of timing errors";
    Pulsation => "scatter of single times by pulsation, relative";
    TankArea => "area of the source tank's water surface";
    PlannedRuns => "number of runs to plan (depths × lifts × air flows)";
    RangeCount => "number of values in a range";
    AirTolerance => "largest difference of the air flows of a pair, relative";
    MeasuredPoints => "number of measured points";
    SettingTolerance => "largest difference of the lengths of a pair";
    ModelScatter => "scatter of measured about predicted flows";
    LineBore => "bore of an air line";
    LineLength => "length of an air line";
    LineRoughness => "roughness of an air line";
    LineLoss => "sum of the loss coefficients of an air line";
    LineTemperature => "temperature of the air in a line";
    LinePressure => "absolute pressure in an air line";
    UpstreamPressure => "absolute pressure upstream";
    WantedLoss => "wanted loss of an air line";
    HoleDiameter => "diameter of a drilled hole";
    Holes => "number of holes";
    DischargeCoefficient => "discharge coefficient";
    DiffuserLoss => "loss of a diffuser";
    CurvePoints => "number of points of a curve";
    LossPoints => "number of points of a loss curve";
    BranchDistance => "distance of a branch along the header";
    HeaderFeed => "place of the header's feed";
    Branches => "number of branches on a header";
    ValveLoss => "loss coefficient of a valve";
    TeeLoss => "loss coefficient of a tee's run";
    CheckValve => "opening pressure of a check valve";
    InjectorFouling => "fouling of an injector";
    WaterPressure => "pressure of the water at an injector";
    OrificeLoss => "smallest loss of an orifice";
    BledShare => "share of the blower's air that is bled";
    SupplyPressure => "gauge pressure at the header";
    SupplyLoss => "loss between blower and water";
    BlowerHeight => "height of the blower over the highest water level";
    IntakeLoss => "loss of the intake filter";
    WirePower => "power at the wire";
    Price => "price of a kilowatt-hour";
    Stocking => "stocking density";
    OxygenUse => "oxygen that the animals take";
    Oxygen => "dissolved oxygen";
    OxygenLimit => "limit of dissolved oxygen";
    IntakeTemperature => "temperature at the blower's intake";
    IntakePressure => "absolute pressure at the blower's intake";
    InletFlow => "volume flow at the blower's inlet";
    PressureRise => "pressure rise of the blower";
    RiseMargin => "margin on the pressure rise";
    BlowerPower => "power of the blower";
    ShaftEfficiency => "efficiency from shaft to air";
    MotorEfficiency => "efficiency of the motor";
    WireEfficiency => "efficiency from wire to air";
    SpeedRatio => "ratio of speeds";
    ArrivalTemperature => "temperature of the air at the header";
    IntakeHumidity => "relative humidity at the blower's intake";
    StandbyCount => "number of blowers that stand by";
    FittingCount => "number of a fitting";
    LiftTolerance => "tolerance on the air of a lift";
    BlowerCount => "number of blowers";
    Biomass => "mass of the animals";
    FeedShare => "feed a day, as a share of the animals' mass";
    Feed => "feed a day";
    Protein => "protein in the feed";
    Ph => "pH";
    TankVolume => "volume of the tank";
    OxygenPerFeed => "oxygen used for the feed";
    LeastOxygenUse => "oxygen that animals take without feed";
    TanPerProtein => "total ammonia nitrogen for the protein fed";
    CarbonDioxidePerOxygen => "carbon dioxide for the oxygen used";
    SolidsPerFeed => "solids for the feed";
    EnteringOxygen => "oxygen of the water that enters the tank";
    EnteringSaturation => "oxygen of the water that enters the tank, as a share of saturation";
    Reaeration => "efficiency of aeration, one pass";
    EnteringTan => "total ammonia nitrogen of the water that enters the tank";
    TanRemoval => "share of total ammonia nitrogen removed in one pass";
    EnteringCarbonDioxide => "carbon dioxide of the water that enters the tank";
    CarbonDioxideRemoval => "efficiency of degassing, one pass";
    MakeupFlow => "flow of makeup water";
    MakeupOxygen => "oxygen of the makeup water";
    MakeupTan => "total ammonia nitrogen of the makeup water";
    MakeupCarbonDioxide => "carbon dioxide of the makeup water";
    LeastOxygen => "least dissolved oxygen";
    TanLimit => "limit of total ammonia nitrogen";
    AmmoniaLimit => "limit of un-ionised ammonia nitrogen";
    CarbonDioxideLimit => "limit of carbon dioxide";
    Turnover => "turnover of the tank";
    CycleDays => "length of the cycle";
    LiftFlow => "water flow of a lift";
    LiftCount => "number of lifts";
    OxygenSaturation => "oxygen of water in touch with air";
    AmmoniaFraction => "un-ionised share of the ammonia";
    CarbonDioxideOfAir => "carbon dioxide of water in touch with air";
    CellYield => "cells for the nitrogen oxidised";
    NitrificationYield => "oxygen or carbon dioxide for the nitrogen oxidised";
    RespiratoryQuotient => "respiratory quotient";
    FilterArea => "area of the filter";
    FilterRate => "rate of the filter";
    FilterVolume => "volume of the filter";
    HalfSaturation => "half saturation of the filter";
    FilterTheta => "temperature factor theta of the filter";
    FilterRateTemperature => "temperature of the filter's rate";
    FilterOxygen => "oxygen of the filter's other bacteria";
    FilterTurnover => "turnover of the filter";
    PassPart => "part of the distance to equilibrium, one pass";
    SurfaceExchange => "exchange at the surface";
    TankUptake => "oxygen, carbon dioxide or ammonia of a tank's animals";
    FlowShare => "share of the water";
    MealTime => "time of a meal or a timer";
    MealShare => "share of a meal";
    MealLength => "length of a meal";
    PeakOverMean => "peak over the mean of the day";
    LightTime => "time of the light";
    DarkUse => "use in the dark over that in the light";
    MealPart => "share of the day that follows the meals";
    TransferUnits => "transfer units of a pass";
    GasLoading => "water over gas of a pass, by what they hold at equilibrium";
    CriticalOxygen => "oxygen below which uptake falls";
    NitrateLimit => "limit of nitrate nitrogen";
    SpecificSurface => "specific surface of the filter";
    TemperatureRise => "rise of the temperature";
}

/// Its key in a design file.
impl serde::Serialize for Input {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.key())
    }
}
