//! The sections of an air supply: from the blower to the injectors.

mod blower;
mod branch;
mod lift;
mod run;

pub use blower::GivenBlower;
pub use branch::GivenBranch;
pub use lift::{GivenLift, LiftFlow};
pub use run::GivenRun;

use crate::design::fault::Problem;
use crate::design::section::{Bound, Section};
use crate::design::sheet::Sheet;
use crate::error::{Error, Input, NameKind, Range};
use crate::riser::LOSS_COEFFICIENT;
use crate::supply::drill::DrillSystem;
use crate::supply::{
    AIR_TOLERANCE, Balancing, DISCHARGE_COEFFICIENT, DISSOLVED_OXYGEN, DISTANCE, ORIFICE_LOSS,
    OXYGEN_USE, Orifice, PRICE, STOCKING, Stock, Tariff, WANTED_LOSS,
};
use crate::units::quantity;
use crate::units::{
    Length, MassConcentration, MassDensity, Pressure, Ratio, SpecificOxygenUse, base,
    kilogram_per_cubic_meter, kilopascal, meter, milligram_per_kilogram_hour, milligram_per_liter,
    millimeter,
};
use run::RunKeys;

/// Everything that a file gives of an air supply.
#[derive(Debug, Default)]
pub struct GivenSupply {
    pub blower: GivenBlower,
    pub main: GivenRun,
    pub wanted_main_loss: Option<Pressure>,
    pub header: GivenHeader,
    pub branch: GivenBranch,
    pub balance: GivenBalance,
    pub lifts: Vec<GivenLift>,
    pub tariff: Option<Tariff>,
    pub stock: Option<Stock>,
}

/// `[header]`.
#[derive(Debug, Default)]
pub struct GivenHeader {
    pub run: GivenRun,
    pub feed: Option<Length>,
    pub tee_run_loss: Option<Ratio>,
    /// Where the first of several lifts stands, and how far the next.
    pub first: Option<Length>,
    pub spacing: Option<Length>,
}

/// `[balance]`.
#[derive(Debug, Default)]
pub struct GivenBalance {
    pub orifices: Option<bool>,
    pub least_loss: Option<Pressure>,
    /// A system, or none of them.
    #[allow(clippy::option_option, reason = "no drills at all is an answer")]
    pub drills: Option<Option<DrillSystem>>,
    pub tolerance: Option<Ratio>,
    pub discharge: Option<Ratio>,
}

impl GivenSupply {
    pub fn read(sheet: &Sheet) -> Self {
        let mut main_line = sheet.section("main_line");
        let main = GivenRun::read(sheet, &mut main_line, &RunKeys::MAIN_LINE);
        let wanted_main_loss = main_line.quantity(
            "wanted_loss",
            quantity::pressure,
            in_kpa(Input::WantedLoss, WANTED_LOSS),
        );
        main_line.close();
        let mut given = Self {
            blower: GivenBlower::read(sheet.section("blower")),
            main,
            wanted_main_loss,
            header: GivenHeader::read(sheet, sheet.section("header")),
            branch: GivenBranch::read(sheet, sheet.section("branch")),
            balance: GivenBalance::read(sheet, sheet.section("balance")),
            lifts: Vec::new(),
            tariff: tariff(sheet, sheet.section("tariff")),
            stock: stock(sheet, sheet.section("stock")),
        };
        for number in 1..=sheet.count("lift") {
            let lift = GivenLift::read(sheet, sheet.numbered("lift", number), number);
            let same = |other: &&GivenLift| other.name == lift.name;
            if let Some(other) = given.lifts.iter().find(same) {
                let path = format!("lift {number}.name");
                let problem = Problem::NameTaken {
                    name: lift.name.clone(),
                    other: format!("lift {}", other.number),
                };
                sheet.fault(sheet.place(&path), &path, problem);
            }
            let whole = lift.branch.or(&given.branch);
            whole.foreign(&sheet.numbered("lift", number));
            given.lifts.push(lift);
        }
        given
    }

    /// Whether any section is there that only an air supply has.
    pub fn is_there(sheet: &Sheet) -> bool {
        [
            "blower",
            "main_line",
            "header",
            "branch",
            "balance",
            "lift",
            "tariff",
            "stock",
        ]
        .iter()
        .any(|section| sheet.has(section))
    }
}

impl GivenHeader {
    fn read(sheet: &Sheet, mut header: Section) -> Self {
        let given = Self {
            run: GivenRun::read(sheet, &mut header, &RunKeys::HEADER),
            feed: header.quantity("feed", quantity::length, in_m(Input::HeaderFeed, DISTANCE)),
            tee_run_loss: header.number("tee_run_loss", Input::TeeLoss, LOSS_COEFFICIENT),
            first: header.quantity(
                "first",
                quantity::length,
                in_m(Input::BranchDistance, DISTANCE),
            ),
            spacing: header.quantity(
                "spacing",
                quantity::length,
                in_m(Input::BranchDistance, DISTANCE),
            ),
        };
        header.close();
        given
    }
}

impl GivenBalance {
    fn read(sheet: &Sheet, mut balance: Section) -> Self {
        let given = Self {
            orifices: balance.yes_no("orifices"),
            least_loss: balance.quantity(
                "least_loss",
                quantity::pressure,
                in_kpa(Input::OrificeLoss, ORIFICE_LOSS),
            ),
            drills: balance.text("drills").and_then(|name| match name {
                "metric" => Some(Some(DrillSystem::Metric)),
                "inch" => Some(Some(DrillSystem::Inch)),
                "none" => Some(None),
                _ => {
                    let known = ["metric", "inch", "none"];
                    let error = Error::unknown_name(NameKind::DrillSystem, name, known);
                    sheet.refused(error, "balance.drills");
                    None
                }
            }),
            tolerance: balance.number("tolerance", Input::LiftTolerance, AIR_TOLERANCE),
            discharge: balance.number(
                "discharge_coefficient",
                Input::DischargeCoefficient,
                DISCHARGE_COEFFICIENT,
            ),
        };
        balance.close();
        given
    }

    /// The balancing, with its defaults and the drills to round to; none when the file wants no orifices.
    pub fn balancing(&self, drills: DrillSystem) -> Option<Balancing> {
        let hole = Orifice::new(Length::new::<millimeter>(1.0));
        self.orifices.unwrap_or(true).then(|| Balancing {
            hole: hole.with_discharge(self.discharge.unwrap_or(hole.discharge)),
            least_loss: self.least_loss.unwrap_or(base(LEAST_LOSS_PA)),
            drills: self.drills.unwrap_or(Some(drills)),
            tolerance: self.tolerance.unwrap_or(base(TOLERANCE)),
        })
    }
}

/// What every orifice costs at least unless the file says otherwise: about four times the pressure of 5 cm of
/// water, so that levels do not move the air (own estimate).
pub const LEAST_LOSS_PA: f64 = 2000.0;
/// How far the air of a lift may be off unless the file says otherwise.
pub const TOLERANCE: f64 = 0.05;

fn tariff(sheet: &Sheet, mut tariff: Section) -> Option<Tariff> {
    let price = tariff.plain_number("price", Input::Price, PRICE);
    let currency = tariff.text("currency");
    let there = sheet.has("tariff");
    if there && !tariff.has("price") {
        let expected = "the price of a kilowatt-hour, such as 0.25";
        tariff.fault("price", Problem::Missing { expected });
    }
    if there && !tariff.has("currency") {
        let expected = "the currency of the price, such as \"EUR\"";
        tariff.fault("currency", Problem::Missing { expected });
    }
    tariff.close();
    Some(Tariff {
        price_per_kilowatt_hour: price?,
        currency: currency?.to_owned(),
    })
}

fn stock(sheet: &Sheet, mut stock: Section) -> Option<Stock> {
    let density: Bound<MassDensity> = (Input::Stocking, STOCKING, |x| {
        x.get::<kilogram_per_cubic_meter>()
    });
    let oxygen_use: Bound<SpecificOxygenUse> = (Input::OxygenUse, OXYGEN_USE, |x| {
        x.get::<milligram_per_kilogram_hour>()
    });
    let dissolved = |what| -> Bound<MassConcentration> {
        (what, DISSOLVED_OXYGEN, |x| x.get::<milligram_per_liter>())
    };
    let density = stock.quantity("density", quantity::density, density);
    let oxygen_use = stock.quantity("oxygen_use", quantity::oxygen_use, oxygen_use);
    let oxygen = stock.quantity("oxygen", quantity::concentration, dissolved(Input::Oxygen));
    let limit = stock.quantity(
        "oxygen_limit",
        quantity::concentration,
        dissolved(Input::OxygenLimit),
    );
    for key in ["density", "oxygen_use", "oxygen", "oxygen_limit"] {
        if sheet.has("stock") && !stock.has(key) {
            let expected =
                "all of density, oxygen_use, oxygen and oxygen_limit, or leave the section out";
            stock.fault(key, Problem::Missing { expected });
        }
    }
    stock.close();
    Some(Stock {
        density: density?,
        oxygen_use: oxygen_use?,
        oxygen: oxygen?,
        limit: limit?,
    })
}

fn in_m(what: Input, range: Range) -> Bound<Length> {
    (what, range, |length| length.get::<meter>())
}

fn in_mm(what: Input, range: Range) -> Bound<Length> {
    (what, range, |length| length.get::<millimeter>())
}

fn in_kpa(what: Input, range: Range) -> Bound<Pressure> {
    (what, range, |pressure| pressure.get::<kilopascal>())
}
