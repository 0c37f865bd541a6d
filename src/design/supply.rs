//! The air supply of a design file.

mod assumption;
mod pipes;
mod placed;

use std::path::Path;

pub use assumption::Assumption;

use super::Design;
use super::fault::{FileError, Problem};
use super::sections::GivenRun;
use crate::air::{AirFlow, AirState};
use crate::pipe::fittings::Fitting;
use crate::riser::Riser;
use crate::sizing::Problem as Sizing;
use crate::supply::blower::{Stated, TableError, parse_table, read_table};
use crate::supply::drill::DrillSystem;
use crate::supply::{
    Blowers, Branch, Header, LEVEL_CHANGES_M, Manifold, Piping, Plant, Run, Supply,
};
use crate::units::{Length, ThermodynamicTemperature, base, degree_celsius, meter};

/// A design file of our own invented hatchery: twelve lifts of two kinds on one header. Its blower's table is
/// [`DEMO`](crate::supply::blower::DEMO).
pub const SUPPLY_EXAMPLE: &str = include_str!("supply.toml");

impl Design {
    /// With the folder that files named in this one are in.
    #[must_use]
    pub fn in_folder(mut self, folder: &Path) -> Self {
        folder.clone_into(&mut self.folder);
        self
    }

    /// With the text of the blower's table, in the place of the file that `[blower]` names.
    #[must_use]
    pub fn with_blower_table(mut self, text: impl Into<String>) -> Self {
        self.blower_table = Some(text.into());
        self
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
    /// cannot do what it is to do ([`Problem::is_unanswerable`]).
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{Design, SUPPLY_EXAMPLE};
    /// use risewater::supply::blower::DEMO;
    ///
    /// let design = Design::parse(SUPPLY_EXAMPLE)?.with_blower_table(DEMO);
    /// let solved = design.supply()?.solve()?;
    /// assert_eq!(solved.running.lifts.len(), 12);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn supply(&self) -> Result<Supply, FileError> {
        self.answer(self.assemble_supply())
    }

    /// The sizing problem beside the supply, for the depth of least power; none without `[duty]` and `[limits]`.
    ///
    /// # Errors
    /// As [`Design::problem`].
    pub fn supply_problem(&self) -> Result<Option<Sizing>, FileError> {
        if !(self.sheet.has("duty") && self.sheet.has("limits")) {
            return Ok(None);
        }
        let problem = self.pose(self.given.site(&self.sheet));
        self.answer(problem).map(Some)
    }

    /// Whether the file is for a supply of lifts of its own, which complete what `[riser]` leaves open.
    pub(super) fn has_lifts(&self) -> bool {
        !self.given.supply.lifts.is_empty()
    }

    pub(super) fn check_supply(&self) {
        if super::sections::GivenSupply::is_there(&self.sheet) {
            self.assemble_supply();
        }
    }

    fn assemble_supply(&self) -> Option<Supply> {
        let (sheet, given) = (&self.sheet, &self.given.supply);
        let site = self.given.site(sheet);
        let blowers = self.blowers();
        let lifts = site.and_then(|site| self.lifts(site));
        // Every fault of the pipes is told, even when the lifts have some.
        let main = self.run(&given.main, "main_line", &GivenRun::default());
        let header = self.pipe(&given.header.run, "header");
        let (site, lifts) = (site?, lifts?);
        let outside = AirState {
            temperature: given
                .blower
                .intake_temperature
                .unwrap_or(ThermodynamicTemperature::new::<degree_celsius>(INTAKE_C)),
            pressure: site.atmosphere,
            humidity: given.blower.intake_humidity.unwrap_or(base(HUMIDITY)),
        };
        // Losses of fittings hang little on the temperature: that of the intake will do for them.
        let arrival = given
            .blower
            .arrival_temperature
            .unwrap_or(outside.temperature);
        let branches: Option<Vec<(Branch, Run)>> = lifts
            .iter()
            .map(|lift| self.branch(lift, arrival))
            .collect::<Vec<_>>()
            .into_iter()
            .collect();
        let (branches, runs): (Vec<Branch>, Vec<Run>) = branches?.into_iter().unzip();
        let open = lifts.iter().filter(|lift| lift.open);
        let total = open.map(|lift| lift.air.kg_per_s()).sum();
        let total = sheet.keep(AirFlow::from_dry_mass(base(total)), "lift")?;
        let (mut main, mut header) = (main?, header?);
        main.other_loss = given.main.loss.unwrap_or(base(1.0));
        let feed = given.header.feed.unwrap_or_default();
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
        let tee_run_loss = match given.header.tee_run_loss {
            Some(loss) => loss,
            None => self.fitting_loss(Fitting::TeeRunThreaded, &header, total, arrival)?,
        };
        let header_with_tees = Header::new(pipe, branches)
            .with_tee_run_loss(tee_run_loss)
            .with_feed(feed);
        let risers: Vec<Riser> = lifts.iter().map(|lift| lift.riser).collect();
        let manifold = sheet.keep(Manifold::new(header_with_tees, risers), "lift")?;
        let manifold = manifold.with_law(self.law.clone());
        Some(Supply {
            plant: Plant {
                manifold,
                design: lifts.iter().map(|lift| lift.air).collect(),
                main: main_line,
                outside,
                intake_loss: given.blower.intake_loss.unwrap_or_default(),
                arrival: given.blower.arrival_temperature,
                balancing: given.balance.balancing(self.drills),
                efficiency: given.blower.efficiency,
                rise_margin: given.blower.rise_margin.unwrap_or(base(RISE_MARGIN)),
                blowers: blowers?,
            },
            piping: Piping {
                main,
                header,
                branches: runs,
            },
            tariff: given.tariff.clone(),
            stock: given.stock,
            blower_height: given.blower.height,
            wanted_main_loss: given.wanted_main_loss,
            level_changes: self.level_changes(),
        })
    }

    /// The fall and rise of `[tank]`, or 5 and 10 cm either way.
    fn level_changes(&self) -> Vec<Length> {
        let (fall, rise) = (self.given.level_fall, self.given.level_rise);
        if fall.or(rise).is_none() {
            return LEVEL_CHANGES_M.map(Length::new::<meter>).to_vec();
        }
        let given = [fall.map(|fall| -fall), rise].into_iter().flatten();
        given.filter(|change| change.value != 0.0).collect()
    }

    /// The blowers of a table, or none of them; the faults of the table at the key that names it.
    #[allow(
        clippy::option_option,
        reason = "no table is an answer, a bad one is not"
    )]
    fn blowers(&self) -> Option<Option<Blowers>> {
        let blower = &self.given.supply.blower;
        let Some(name) = &blower.table else {
            return Some(None);
        };
        let stated = Stated::default();
        let read = match &self.blower_table {
            Some(text) => parse_table(text, &stated),
            None => read_table(&self.folder.join(name), &stated),
        };
        let fault = |message: String| {
            let file = name.into();
            let problem = Problem::Named { file, message };
            self.sheet
                .fault(self.sheet.place("blower.table"), "blower.table", problem);
        };
        match read {
            Ok(table) => Some(Some(Blowers {
                blower: table,
                running: blower.running.unwrap_or(1),
                standby: blower.standby.unwrap_or(0),
            })),
            Err(TableError::Unreadable { reason, .. }) => {
                fault(reason.to_string());
                None
            }
            Err(TableError::Faults { faults }) => {
                for one in faults {
                    fault(one.to_string());
                }
                None
            }
        }
    }
}

/// Temperature of the intake unless the file says otherwise.
const INTAKE_C: f64 = 20.0;
/// Relative humidity of the intake unless the file says otherwise.
const HUMIDITY: f64 = 0.5;
/// Margin on the pressure rise unless the file says otherwise; common practice.
const RISE_MARGIN: f64 = 0.1;
