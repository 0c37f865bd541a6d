//! `[need]` and `[[rearing_tank]]`: animals, their water, what must hold and what enters.

use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::{Error, Input, NameKind, Range};
use crate::need::{
    BIOMASS, COEFFICIENT, EFFICIENCY, ENTERING, ENTERING_OXYGEN, ENTERING_SATURATION, Entering,
    EnteringOxygen, FEED, FEED_SHARE, Feed, LIFT_COUNT, LIFT_FLOW, LIMIT, Limits, MAKEUP_FLOW, PH,
    PROTEIN, TANK_VOLUME, TURNOVER,
};
use crate::supply::OXYGEN_USE;
use crate::units::quantity;
use crate::units::{
    Frequency, Mass, MassConcentration, MassRate, Ratio, SpecificOxygenUse,
    ThermodynamicTemperature, Volume, VolumeRate, base, cubic_meter, degree_celsius, kilogram,
    kilogram_per_day, liter_per_minute, milligram_per_kilogram_hour, milligram_per_liter, per_day,
    per_hour, per_mille,
};
use crate::water::{SALINITY, TEMPERATURE};

/// The section of one tank of several.
const TANKS: &str = "rearing_tank";
/// Sets of limits, by name.
const SETS: [&str; 3] = ["warm_water", "salmonids", "none"];

/// Everything that a file gives of a need.
#[derive(Debug, Default)]
pub struct GivenNeed {
    /// `[need]`: one tank, or what several have in common.
    pub shared: GivenTank,
    /// Each `[[rearing_tank]]` by itself.
    pub tanks: Vec<GivenTank>,
    pub lift_flow: Option<VolumeRate>,
    pub lifts: Option<u32>,
}

/// One tank, as far as a section gives it.
#[derive(Debug, Default, Clone)]
#[allow(clippy::option_option, reason = "a limit that is none is given")]
pub struct GivenTank {
    /// From 1; none of `[need]`.
    pub number: Option<usize>,
    pub name: Option<String>,
    pub biomass: Option<Mass>,
    pub feed: Option<Feed>,
    pub protein: Option<Ratio>,
    pub temperature: Option<ThermodynamicTemperature>,
    pub salinity: Option<Ratio>,
    pub ph: Option<Ratio>,
    pub volume: Option<Volume>,
    pub limits: Option<Limits>,
    pub least_oxygen: Option<Option<MassConcentration>>,
    pub tan_limit: Option<Option<MassConcentration>>,
    pub ammonia_limit: Option<Option<MassConcentration>>,
    pub carbon_dioxide_limit: Option<Option<MassConcentration>>,
    pub turnover: Option<Option<Frequency>>,
    pub oxygen: Option<EnteringOxygen>,
    pub tan: Option<Entering>,
    pub carbon_dioxide: Option<Entering>,
    pub makeup_flow: Option<VolumeRate>,
    pub makeup_oxygen: Option<MassConcentration>,
    pub makeup_tan: Option<MassConcentration>,
    pub makeup_carbon_dioxide: Option<MassConcentration>,
    pub bacteria: Option<bool>,
    pub oxygen_per_feed: Option<Ratio>,
    pub tan_per_protein: Option<Ratio>,
    pub carbon_dioxide_per_oxygen: Option<Ratio>,
    pub solids_per_feed: Option<Ratio>,
    pub least_oxygen_use: Option<SpecificOxygenUse>,
    pub cycle: Option<String>,
}

impl GivenNeed {
    pub fn read(sheet: &Sheet) -> Self {
        let mut need = sheet.section("need");
        let mut given = Self {
            shared: GivenTank::read(sheet, &mut need),
            tanks: Vec::new(),
            lift_flow: need.quantity(
                "lift_flow",
                quantity::volume_rate,
                in_liters(Input::LiftFlow, LIFT_FLOW),
            ),
            lifts: need.count("lifts", Input::LiftCount, LIFT_COUNT),
        };
        need.close();
        for number in 1..=sheet.count(TANKS) {
            let mut section = sheet.numbered(TANKS, number);
            let name = section.text("name").map(str::to_owned);
            let mut tank = GivenTank::read(sheet, &mut section);
            (tank.name, tank.number) = (name, Some(number));
            let same = |other: &&GivenTank| other.name.is_some() && other.name == tank.name;
            if let Some(other) = given.tanks.iter().find(same) {
                let name = tank.name.clone().unwrap_or_default();
                let other = other.section();
                section.fault("name", Problem::NameTaken { name, other });
            }
            section.close();
            given.tanks.push(tank);
        }
        given
    }

    /// Whether the file says what is reared.
    pub fn is_there(sheet: &Sheet) -> bool {
        sheet.has("need") || sheet.has("rearing_tank")
    }
}

impl GivenTank {
    fn read(sheet: &Sheet, tank: &mut Section) -> Self {
        let mut given = Self {
            biomass: tank.quantity("biomass", quantity::mass, {
                (Input::Biomass, BIOMASS, |x| x.get::<kilogram>())
            }),
            protein: tank.number("protein", Input::Protein, PROTEIN),
            temperature: tank.quantity("temperature", quantity::temperature, {
                (Input::WaterTemperature, TEMPERATURE, |x| {
                    x.get::<degree_celsius>()
                })
            }),
            salinity: tank.quantity("salinity", quantity::mass_fraction, {
                (Input::Salinity, SALINITY, |x| x.get::<per_mille>())
            }),
            ph: tank.plain_number("ph", Input::Ph, PH).map(base),
            volume: tank.quantity("volume", quantity::volume, {
                (Input::TankVolume, TANK_VOLUME, |x| x.get::<cubic_meter>())
            }),
            bacteria: tank.yes_no("bacteria"),
            oxygen_per_feed: tank.number("oxygen_per_feed", Input::OxygenPerFeed, COEFFICIENT),
            tan_per_protein: tank.number("tan_per_protein", Input::TanPerProtein, COEFFICIENT),
            carbon_dioxide_per_oxygen: tank.number(
                "carbon_dioxide_per_oxygen",
                Input::CarbonDioxidePerOxygen,
                COEFFICIENT,
            ),
            solids_per_feed: tank.number("solids_per_feed", Input::SolidsPerFeed, COEFFICIENT),
            least_oxygen_use: tank.quantity("least_oxygen_use", quantity::oxygen_use, {
                (Input::LeastOxygenUse, OXYGEN_USE, |x| {
                    x.get::<milligram_per_kilogram_hour>()
                })
            }),
            cycle: tank.text("cycle").map(str::to_owned),
            ..Self::default()
        };
        given.read_feed(tank);
        given.read_limits(sheet, tank);
        given.read_inlet(tank);
        given
    }

    fn read_feed(&mut self, tank: &mut Section) {
        let mass: Bound<MassRate> = (Input::Feed, FEED, |x| x.get::<kilogram_per_day>());
        let share: Bound<Frequency> =
            (Input::FeedShare, FEED_SHARE, |x| 100.0 * x.get::<per_day>());
        let mass = tank.quantity("feed", quantity::mass_rate, mass);
        let share = tank.quantity("feed_rate", quantity::share_of_day, share);
        one_of(tank, "feed", "feed_rate", "its feed");
        self.feed = mass.map(Feed::Mass).or(share.map(Feed::Share));
        for key in ["biomass", "feed", "feed_rate"] {
            one_of(tank, "cycle", key, "the cycle, which has it day by day");
        }
    }

    fn read_limits(&mut self, sheet: &Sheet, tank: &mut Section) {
        self.limits = tank.text("limits").and_then(|name| match name {
            "warm_water" => Some(Limits::WARM_WATER),
            "salmonids" => Some(Limits::SALMONIDS),
            "none" => Some(Limits::NONE),
            _ => {
                let error = Error::unknown_name(NameKind::Limits, name, SETS);
                sheet.refused(error, &tank.path("limits"));
                None
            }
        });
        let mut limit = |key, what| {
            let bound: Bound<MassConcentration> = (what, LIMIT, |x| x.get::<milligram_per_liter>());
            tank.quantity_or_none(key, quantity::concentration, bound)
        };
        self.least_oxygen = limit("least_oxygen", Input::LeastOxygen);
        self.tan_limit = limit("tan_limit", Input::TanLimit);
        self.ammonia_limit = limit("ammonia_limit", Input::AmmoniaLimit);
        self.carbon_dioxide_limit = limit("carbon_dioxide_limit", Input::CarbonDioxideLimit);
        let bound: Bound<Frequency> = (Input::Turnover, TURNOVER, |x| x.get::<per_hour>());
        self.turnover = tank.quantity_or_none("turnover", quantity::turnover, bound);
    }

    fn read_inlet(&mut self, tank: &mut Section) {
        let known = |what| -> Bound<MassConcentration> {
            (what, ENTERING, |x| x.get::<milligram_per_liter>())
        };
        let parse = quantity::concentration;
        let of_oxygen = |what| -> Bound<MassConcentration> {
            (what, ENTERING_OXYGEN, |x| x.get::<milligram_per_liter>())
        };
        let oxygen = tank.quantity("entering_oxygen", parse, of_oxygen(Input::EnteringOxygen));
        let share = tank.number(
            "entering_saturation",
            Input::EnteringSaturation,
            ENTERING_SATURATION,
        );
        let again = tank.number("reaeration", Input::Reaeration, EFFICIENCY);
        one_of(
            tank,
            "entering_oxygen",
            "entering_saturation",
            "its entering_oxygen",
        );
        one_of(tank, "entering_oxygen", "reaeration", "its entering_oxygen");
        one_of(
            tank,
            "entering_saturation",
            "reaeration",
            "its entering_saturation",
        );
        self.oxygen = oxygen
            .map(EnteringOxygen::Known)
            .or(share.map(EnteringOxygen::Saturated))
            .or(again.map(EnteringOxygen::Reaerated));
        let tan = tank.quantity("entering_tan", parse, known(Input::EnteringTan));
        let removed = tank.number("tan_removal", Input::TanRemoval, EFFICIENCY);
        one_of(tank, "entering_tan", "tan_removal", "its entering_tan");
        self.tan = tan.map(Entering::Known).or(removed.map(Entering::Treated));
        let carbon_dioxide = tank.quantity(
            "entering_carbon_dioxide",
            parse,
            known(Input::EnteringCarbonDioxide),
        );
        let removed = tank.number(
            "carbon_dioxide_removal",
            Input::CarbonDioxideRemoval,
            EFFICIENCY,
        );
        one_of(
            tank,
            "entering_carbon_dioxide",
            "carbon_dioxide_removal",
            "its entering_carbon_dioxide",
        );
        self.carbon_dioxide = carbon_dioxide
            .map(Entering::Known)
            .or(removed.map(Entering::Treated));
        self.makeup_flow = tank.quantity(
            "makeup_flow",
            quantity::volume_rate,
            in_liters(Input::MakeupFlow, MAKEUP_FLOW),
        );
        self.makeup_oxygen = tank.quantity("makeup_oxygen", parse, of_oxygen(Input::MakeupOxygen));
        self.makeup_tan = tank.quantity("makeup_tan", parse, known(Input::MakeupTan));
        self.makeup_carbon_dioxide = tank.quantity(
            "makeup_carbon_dioxide",
            parse,
            known(Input::MakeupCarbonDioxide),
        );
    }

    /// The section that it stands in, as faults name it.
    pub fn section(&self) -> String {
        let number = self.number.map(|number| format!("rearing_tank {number}"));
        number.unwrap_or_else(|| "need".to_owned())
    }

    /// What it leaves open as in another. Animals of its own follow no cycle of the other, nor a cycle of its
    /// own the other's animals.
    pub fn or(&self, other: &Self) -> Self {
        let own = self.clone();
        let (animals, cycle) = (
            own.biomass.is_some() || own.feed.is_some(),
            own.cycle.is_some(),
        );
        Self {
            number: own.number,
            name: own.name,
            biomass: own.biomass.or(other.biomass.filter(|_| !cycle)),
            feed: own.feed.or(other.feed.filter(|_| !cycle)),
            protein: own.protein.or(other.protein),
            temperature: own.temperature.or(other.temperature),
            salinity: own.salinity.or(other.salinity),
            ph: own.ph.or(other.ph),
            volume: own.volume.or(other.volume),
            limits: own.limits.or(other.limits),
            least_oxygen: own.least_oxygen.or(other.least_oxygen),
            tan_limit: own.tan_limit.or(other.tan_limit),
            ammonia_limit: own.ammonia_limit.or(other.ammonia_limit),
            carbon_dioxide_limit: own.carbon_dioxide_limit.or(other.carbon_dioxide_limit),
            turnover: own.turnover.or(other.turnover),
            oxygen: own.oxygen.or(other.oxygen),
            tan: own.tan.or(other.tan),
            carbon_dioxide: own.carbon_dioxide.or(other.carbon_dioxide),
            makeup_flow: own.makeup_flow.or(other.makeup_flow),
            makeup_oxygen: own.makeup_oxygen.or(other.makeup_oxygen),
            makeup_tan: own.makeup_tan.or(other.makeup_tan),
            makeup_carbon_dioxide: own.makeup_carbon_dioxide.or(other.makeup_carbon_dioxide),
            bacteria: own.bacteria.or(other.bacteria),
            oxygen_per_feed: own.oxygen_per_feed.or(other.oxygen_per_feed),
            tan_per_protein: own.tan_per_protein.or(other.tan_per_protein),
            carbon_dioxide_per_oxygen: own
                .carbon_dioxide_per_oxygen
                .or(other.carbon_dioxide_per_oxygen),
            solids_per_feed: own.solids_per_feed.or(other.solids_per_feed),
            least_oxygen_use: own.least_oxygen_use.or(other.least_oxygen_use),
            cycle: own.cycle.or(other.cycle.clone().filter(|_| !animals)),
        }
    }
}

/// Notes a second key that says what a first one says.
fn one_of(tank: &Section, key: &str, second: &str, other: &'static str) {
    if tank.has(key) && tank.has(second) {
        tank.fault(second, Problem::Contradiction { other });
    }
}

fn in_liters(what: Input, range: Range) -> Bound<VolumeRate> {
    (what, range, |flow| flow.get::<liter_per_minute>())
}
