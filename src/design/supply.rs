//! The air supply of a design file.

mod assumption;
mod existing;
mod pipes;
mod placed;

pub use assumption::Assumption;
pub use existing::EXISTING_EXAMPLE;

use super::fault::{FileError, Problem};
use super::{DesignFile, set};
use crate::air::{AirFlow, AirState};
use crate::keys::{balance, blower, header, main_line, stock, tank, tariff};
use crate::pipe::fittings::Fitting;
use crate::riser::{Riser, Site};
use crate::sizing::Task;
use crate::supply::blower::{Blower, Efficiency, Machine, RatedPoint, Rating, Stated, parse_table};
use crate::supply::drill::DrillSystem;
use crate::supply::{
    Balancing, Blowers, Branch, Header, LEVEL_CHANGES_M, Manifold, Orifice, PipeRun, Piping, Plant,
    Stock, Supply, Tariff,
};
use crate::units::{Length, base, meter, millimeter};
use placed::Placed;

/// Which lines a plant must have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Lines {
    /// All of them.
    All,
    /// Those that stand: a main line may be left out, and the header of a single lift.
    Standing,
}

/// A design file of our own invented hatchery: twelve lifts of two kinds on one header. Its blower's table is
/// [`DEMO`](crate::supply::blower::DEMO).
pub const SUPPLY_EXAMPLE: &str = include_str!("supply.toml");

impl DesignFile {
    /// With the text of the blower's table, in the place of the file that `[blower]` names.
    #[must_use]
    pub fn with_blower_table(self, text: impl Into<String>) -> Self {
        self.with_text_of("blower", &blower::TABLE, text)
    }

    /// With the drills that holes are rounded to where the file does not say; metric ones unless this is called.
    #[must_use]
    pub fn with_drills(mut self, drills: DrillSystem) -> Self {
        self.drills = drills;
        self
    }

    /// The air supply: lifts, pipes, blower, and what is asked about them.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused, in the blower's table too, or when a lift
    /// cannot do what it is to do ([`Problem::is_unanswerable`](super::Problem::is_unanswerable)).
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, SUPPLY_EXAMPLE};
    /// use risewater::supply::blower::DEMO;
    ///
    /// let design = DesignFile::parse(SUPPLY_EXAMPLE)?.with_blower_table(DEMO);
    /// let solved = design.supply()?.solve()?;
    /// assert_eq!(solved.running.lifts.len(), 12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn supply(&self) -> Result<Supply, FileError> {
        self.answer(self.assemble_supply())
    }

    /// The sizing problem beside the supply, for the depth of least power; none without `[duty]` and `[limits]`, nor
    /// with several duties.
    ///
    /// # Errors
    /// As [`DesignFile::problem`].
    pub fn supply_problem(&self) -> Result<Option<Task>, FileError> {
        if !(self.sheet.has("duty") && self.sheet.has("limits")) || self.has_several_duties() {
            return Ok(None);
        }
        let problem = self.pose(self.read_site());
        self.answer(problem).map(Some)
    }

    /// Whether the file is for a supply of lifts of its own, which complete what `[riser]` leaves open.
    pub(super) fn has_lifts(&self) -> bool {
        self.sheet.count("lift") > 0
    }

    pub(super) fn check_supply(&self) {
        let only_here = [
            "blower",
            "main_line",
            "header",
            "branch",
            "balance",
            "lift",
            "tariff",
            "stock",
        ];
        if !only_here.iter().any(|section| self.sheet.has(section)) {
            return;
        }
        // A duty is held against a blower without lines.
        let sized = ["blower", "tariff", "stock"];
        let lines = only_here.iter().filter(|section| !sized.contains(section));
        if self.sheet.has("duty") && !lines.clone().any(|section| self.sheet.has(section)) {
            self.blowers();
        } else if self.stands() {
            self.assemble_existing(None);
        } else {
            self.assemble_supply();
        }
    }

    pub(super) fn assemble_supply(&self) -> Option<Supply> {
        let (line, blower) = (self.sheet.at(["main_line"]), self.sheet.at(["blower"]));
        let site = self.read_site();
        let lifts = site.and_then(|site| self.lifts(site));
        let (plant, piping) = self.assemble_plant(site, lifts.as_deref(), Lines::All)?;
        Some(Supply {
            plant,
            piping,
            tariff: self.tariff(),
            stock: self.stock(),
            blower_height: blower.get(&blower::HEIGHT),
            wanted_main_loss: line.get(&main_line::WANTED_LOSS),
            level_changes: self.level_changes(),
        })
    }

    /// Lifts, lines and blowers.
    fn assemble_plant(
        &self,
        site: Option<Site>,
        lifts: Option<&[Placed]>,
        lines: Lines,
    ) -> Option<(Plant, Piping)> {
        let sheet = &self.sheet;
        let [blower, line, own] = ["blower", "main_line", "header"].map(|name| sheet.at([name]));
        let blowers = self.blowers();
        // Every fault of the pipes is told, even when the lifts have some.
        let asks = |section, needed| lines == Lines::All || needed || sheet.has(section);
        let main = asks("main_line", false)
            .then(|| self.run(&line, line.bore(&main_line::BORE, &main_line::PIPE), &line));
        let has_header = asks("header", lifts.is_some_and(|lifts| lifts.len() > 1));
        let header =
            has_header.then(|| self.pipe(&own, own.bore(&header::BORE, &header::PIPE), &own));
        let (site, lifts) = (site?, lifts?);
        let outside = self.outside(site)?;
        let arrives = blower.get(&blower::ARRIVAL_TEMPERATURE);
        // Losses of fittings hang little on the temperature: that of the intake will do for them.
        let arrival = arrives.unwrap_or(outside.temperature);
        let branches: Option<Vec<(Branch, PipeRun)>> = lifts
            .iter()
            .map(|lift| self.branch(lift, arrival))
            .collect::<Vec<_>>()
            .into_iter()
            .collect();
        let (branches, runs): (Vec<Branch>, Vec<PipeRun>) = branches?.into_iter().unzip();
        let open = lifts.iter().filter(|lift| lift.open);
        let total = open.map(|lift| lift.air.kg_per_s()).sum();
        let total = sheet.keep(AirFlow::from_dry_mass(base(total)), "lift")?;
        // Where a line is left out, the branch follows at once.
        let none = || Some(PipeRun::new(runs.first()?.bore, base(0.0)));
        let mut header = header.unwrap_or_else(none)?;
        let main = match main {
            Some(main) => {
                let mut main = main?;
                main.other_loss = line.usual(&main_line::LOSS)?;
                main
            }
            None => none()?,
        };
        let feed = own.usual(&header::FEED)?;
        let places = || lifts.iter().map(|lift| lift.at).chain([feed]);
        let ends = places().fold((feed, feed), |(low, high), at| {
            (
                if at < low { at } else { low },
                if at > high { at } else { high },
            )
        });
        header.length = ends.1 - ends.0;
        let main_line = sheet.keep(main.line(total, arrival), "main_line.bore")?;
        let pipe = sheet.keep(header.line(total, arrival), "header.bore")?;
        let tee_run_loss = match own.get(&header::TEE_RUN_LOSS) {
            Some(loss) => loss,
            None if has_header => {
                self.fitting_loss(Fitting::TeeRunThreaded, &header, total, arrival)?
            }
            None => base(0.0),
        };
        let header_with_tees = Header::new(pipe, branches)
            .with_tee_run_loss(tee_run_loss)
            .with_feed(feed);
        let risers: Vec<Riser> = lifts.iter().map(|lift| lift.riser).collect();
        let manifold = sheet.keep(Manifold::new(header_with_tees, risers), "lift")?;
        let manifold = manifold.with_law(self.law.clone());
        let plant = Plant {
            manifold,
            design: lifts.iter().map(|lift| lift.air).collect(),
            main: main_line,
            outside,
            intake_loss: blower.usual(&blower::INTAKE_LOSS)?,
            arrival: arrives,
            balancing: self.balancing(),
            efficiency: self.efficiency(),
            rise_margin: blower.usual(&blower::RISE_MARGIN)?,
            blowers: blowers?,
        };
        let piping = Piping {
            main,
            header,
            branches: runs,
            risers: lifts.iter().map(|lift| lift.pipe.clone()).collect(),
        };
        Some((plant, piping))
    }

    /// The air that a blower takes in.
    pub(super) fn outside(&self, site: Site) -> Option<AirState> {
        let blower = self.sheet.at(["blower"]);
        Some(AirState {
            temperature: blower.usual(&blower::INTAKE_TEMPERATURE)?,
            pressure: site.atmosphere,
            humidity: blower.usual(&blower::INTAKE_HUMIDITY)?,
        })
    }

    /// What is known of the way from wire to air.
    pub(super) fn efficiency(&self) -> Efficiency {
        let own = self.sheet.at(["blower"]);
        let shaft = own.get(&blower::SHAFT_EFFICIENCY);
        match (
            shaft,
            own.get(&blower::MOTOR_EFFICIENCY),
            own.get(&blower::WIRE_EFFICIENCY),
        ) {
            (Some(shaft), Some(motor), None) => Efficiency::ShaftAndMotor { shaft, motor },
            (Some(shaft), None, None) => Efficiency::Shaft(shaft),
            (None, None, Some(wire)) => Efficiency::WireToAir(wire),
            _ => Efficiency::Unknown,
        }
    }

    /// The balancing; none when the file wants no orifices.
    fn balancing(&self) -> Option<Balancing> {
        let own = self.sheet.at(["balance"]);
        let mut hole = Orifice::new(Length::new::<millimeter>(1.0));
        set(
            &mut hole.discharge,
            own.get(&balance::DISCHARGE_COEFFICIENT),
        );
        let drills = match own.get(&balance::DRILLS).as_deref() {
            Some("metric") => Some(DrillSystem::Metric),
            Some("inch") => Some(DrillSystem::Inch),
            Some(_) => None,
            None => Some(self.drills),
        };
        own.usual(&balance::ORIFICES)?.then_some(Balancing {
            hole,
            least_loss: own.usual(&balance::LEAST_LOSS)?,
            drills,
            tolerance: own.usual(&balance::TOLERANCE)?,
        })
    }

    fn tariff(&self) -> Option<Tariff> {
        let own = self.sheet.at(["tariff"]);
        Some(Tariff {
            price_per_kilowatt_hour: own.get(&tariff::PRICE)?,
            currency: own.get(&tariff::CURRENCY)?,
        })
    }

    fn stock(&self) -> Option<Stock> {
        let own = self.sheet.at(["stock"]);
        Some(Stock {
            density: own.get(&stock::DENSITY)?,
            oxygen_use: own.get(&stock::OXYGEN_USE)?,
            oxygen: own.get(&stock::OXYGEN)?,
            limit: own.get(&stock::OXYGEN_LIMIT)?,
        })
    }

    /// The fall and rise of `[tank]`, or 5 and 10 cm either way.
    fn level_changes(&self) -> Vec<Length> {
        let own = self.sheet.at(["tank"]);
        let (fall, rise) = (own.get(&tank::LEVEL_FALL), own.get(&tank::LEVEL_RISE));
        if fall.or(rise).is_none() {
            return LEVEL_CHANGES_M.map(Length::new::<meter>).to_vec();
        }
        self.levels_of_tank()
    }

    /// The fall and rise of `[tank]`, where it has them.
    pub(super) fn levels_of_tank(&self) -> Vec<Length> {
        let own = self.sheet.at(["tank"]);
        let (fall, rise) = (own.get(&tank::LEVEL_FALL), own.get(&tank::LEVEL_RISE));
        let given = [fall.map(|fall| -fall), rise].into_iter().flatten();
        given.filter(|change| change.value != 0.0).collect()
    }

    /// The blowers of a table, or none of them; the faults of the table at the key that names it.
    #[allow(
        clippy::option_option,
        reason = "no table is an answer, a bad one is not"
    )]
    pub(super) fn blowers(&self) -> Option<Option<Blowers>> {
        let own = self.sheet.at(["blower"]);
        let blower = match (own.get(&blower::TABLE), own.get(&blower::POINTS)) {
            (Some(name), _) => self.in_file((blower::TABLE.path, &name), |text| {
                parse_table(text, &Stated::default())
            })?,
            (None, Some(points)) => {
                let points = points.into_iter().map(|[flow, rise]| RatedPoint {
                    inlet_flow: base(flow),
                    pressure_rise: base(rise),
                    power: None,
                });
                let rating = Rating {
                    points: points.collect(),
                    conditions: AirState::DRY_20_C,
                    machine: Machine::Dynamic,
                    power_kind: None,
                };
                let blower = Blower::new(rating);
                let refused = |error| own.fault(&blower::POINTS, Problem::Refused(error));
                blower.map_err(refused).ok()?
            }
            (None, None) => return Some(None),
        };
        Some(Some(Blowers {
            blower,
            running: own.usual(&blower::RUNNING)?,
            standby: own.usual(&blower::STANDBY)?,
        }))
    }
}
