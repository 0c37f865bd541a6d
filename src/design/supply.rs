//! The air supply of a design file.

mod assumption;

use std::path::Path;

pub use assumption::Assumption;

use super::Design;
use super::fault::{FileError, Problem};
use super::sections::{GivenBranch, GivenLift, GivenRun, LiftFlow, needed};
use crate::air::{AirFlow, AirState};
use crate::error::Error;
use crate::model::Model;
use crate::pipe::fittings::Fitting;
use crate::riser::{Riser, RiserSpec, Site};
use crate::sizing::{Problem as Sizing, size};
use crate::supply::blower::{Stated, parse_table, read_table};
use crate::supply::{
    Blowers, Branch, Header, Injector, LossCurve, Manifold, Orifice, Piping, Plant, Run, Supply,
};
use crate::units::{Length, Ratio, ThermodynamicTemperature, base, degree_celsius};

/// A design file of our own invented hatchery: twelve lifts of two kinds on one header. Its blower's table is
/// [`DEMO`](crate::supply::blower::DEMO).
pub const SUPPLY_EXAMPLE: &str = include_str!("supply.toml");

/// What refines risers and model before anything is computed: a calibration, say.
pub type Refine<'a> = &'a dyn Fn(RiserSpec, Model) -> Result<(RiserSpec, Model), Error>;

/// A riser on the header with what it is to do.
struct Placed<'a> {
    name: String,
    at: Length,
    riser: Riser,
    air: AirFlow,
    open: bool,
    given: Option<&'a GivenLift>,
}

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
        self.supply_with(&|spec, model| Ok((spec, model)))
    }

    /// The same, with risers and model refined first.
    ///
    /// # Errors
    /// As [`Design::supply`], and what `refine` refuses.
    pub fn supply_with(&self, refine: Refine) -> Result<Supply, FileError> {
        self.answer(self.assemble_supply(refine))
    }

    /// The sizing problem beside the supply, for the depth of least power; none without `[duty]` and `[limits]`.
    ///
    /// # Errors
    /// As [`Design::problem`], and what `refine` refuses.
    pub fn supply_problem(&self, refine: Refine) -> Result<Option<Sizing>, FileError> {
        if !(self.sheet.has("duty") && self.sheet.has("limits")) {
            return Ok(None);
        }
        let problem = self.pose(self.given.site(&self.sheet));
        self.answer(problem.and_then(|problem| self.refined(problem, refine)))
            .map(Some)
    }

    fn refined(&self, mut problem: Sizing, refine: Refine) -> Option<Sizing> {
        let refined = self
            .sheet
            .keep(refine(problem.riser, problem.model), "model");
        (problem.riser, problem.model) = refined?;
        Some(problem)
    }

    pub(super) fn check_supply(&self) {
        if super::sections::GivenSupply::is_there(&self.sheet) {
            self.assemble_supply(&|spec, model| Ok((spec, model)));
        }
    }

    fn assemble_supply(&self, refine: Refine) -> Option<Supply> {
        let (sheet, given) = (&self.sheet, &self.given.supply);
        let site = self.given.site(sheet);
        let blowers = self.blowers();
        let lifts = site.and_then(|site| self.lifts(site, refine));
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
        Some(Supply {
            plant: Plant {
                manifold,
                design: lifts.iter().map(|lift| lift.air).collect(),
                main: main_line,
                outside,
                intake_loss: given.blower.intake_loss.unwrap_or_default(),
                arrival,
                balancing: given.balance.balancing(),
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
        })
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
        use crate::supply::blower::TableError;
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

    fn lifts(&self, site: Site, refine: Refine) -> Option<Vec<Placed<'_>>> {
        let given = &self.given.supply;
        if given.lifts.is_empty() {
            return self.sized(site, refine);
        }
        let all: Vec<Option<Placed>> = given
            .lifts
            .iter()
            .map(|lift| self.placed(lift, site, refine))
            .collect();
        all.into_iter().collect()
    }

    /// One lift of the file.
    fn placed<'a>(&'a self, lift: &'a GivenLift, site: Site, refine: Refine) -> Option<Placed<'a>> {
        let sheet = &self.sheet;
        let section = format!("lift {}", lift.number);
        let path = |key: &str| format!("{section}.{key}");
        let header = &self.given.supply.header;
        let regular = header.first.zip(header.spacing).map(|(first, spacing)| {
            #[allow(clippy::cast_precision_loss, reason = "counts far below 2^53")]
            let steps = (lift.number - 1) as f64;
            first + spacing * steps
        });
        let at = needed(
            sheet,
            lift.at.or(regular),
            &path("at"),
            "where it leaves the header, such as \"4 m\" from its first end",
        );
        let spec = self.given.riser.at(
            sheet,
            [
                (lift.bore, path("bore")),
                (lift.submergence, path("submergence")),
                (lift.lift, path("lift")),
            ],
        );
        let flow = if lift.flow.is_none() && lift.flow_told {
            None
        } else {
            needed(
                sheet,
                lift.flow,
                &path("water_flow"),
                "the water that it is to lift, such as \"50 L/min\", or its air_flow",
            )
        };
        let refined = sheet.keep(refine(spec?, self.given.model), "model");
        let (spec, model) = refined?;
        let riser = match spec.build(&site, model) {
            Ok(riser) => riser,
            Err(error) => {
                sheet.refused_in(&section, error, &path("submergence"));
                return None;
            }
        };
        let air = match flow? {
            LiftFlow::Air(flow) => self.given.air_flow(sheet, flow, &path("air_flow"))?,
            LiftFlow::Water(flow) => match riser.air_for(flow) {
                Ok(point) => point.air,
                Err(error) => {
                    sheet.refused_in(&section, error, &path("water_flow"));
                    return None;
                }
            },
        };
        Some(Placed {
            name: lift.name.clone(),
            at: at?,
            riser,
            air,
            open: lift.open,
            given: Some(lift),
        })
    }

    /// The lifts of the best design of a sizing.
    fn sized(&self, site: Site, refine: Refine) -> Option<Vec<Placed<'_>>> {
        let (sheet, header) = (&self.sheet, &self.given.supply.header);
        if !sheet.has("duty") || !sheet.has("limits") {
            let expected =
                "each lift as [[lift]], or a [duty] with its [limits], whose best design is taken";
            sheet.fault(sheet.place("lift"), "lift", Problem::Missing { expected });
            return None;
        }
        let first = needed(
            sheet,
            header.first,
            "header.first",
            "where the first lift leaves the header, such as \"2 m\" from its first end, or every lift as [[lift]]",
        );
        let spacing = needed(
            sheet,
            header.spacing,
            "header.spacing",
            "how far apart the lifts stand, such as \"1.5 m\"",
        );
        let problem = self.pose(Some(site));
        let (first, spacing) = (first?, spacing?);
        let problem = self.refined(problem?, refine)?;
        let found = sheet.keep(size(&problem), "duty")?;
        let Some(best) = found.designs.first() else {
            sheet.fault(sheet.place("duty.water_flow"), "duty", Problem::NoDesign);
            return None;
        };
        let lift = |n: u32| Placed {
            name: format!("lift {}", n + 1),
            at: first + spacing * f64::from(n),
            riser: best.riser,
            air: best.point.air,
            open: true,
            given: None,
        };
        Some((0..best.lifts).map(lift).collect())
    }

    /// The branch of a lift, with its run of pipe.
    fn branch(&self, lift: &Placed, arrival: ThermodynamicTemperature) -> Option<(Branch, Run)> {
        let (sheet, all) = (&self.sheet, &self.given.supply.branch);
        let given = lift
            .given
            .map_or_else(|| all.clone(), |own| own.branch.or(all));
        let run = self.run(&given.run, "branch", &all.run);
        let injector = self.injector(&given);
        let (mut run, injector) = (run?, injector?);
        run.other_loss = if let Some(loss) = given.run.loss {
            loss
        } else {
            let tee = self.fitting_loss(Fitting::TeeBranchThreaded, &run, lift.air, arrival)?;
            let end = if injector == Injector::OpenTube {
                1.0
            } else {
                0.0
            };
            tee + base::<_>(end)
        };
        let valve_loss = match given.valve_loss {
            Some(loss) => loss,
            None => self.fitting_loss(Fitting::BallValve, &run, lift.air, arrival)?,
        };
        let line = sheet.keep(run.line(lift.air, arrival), "branch.bore")?;
        let mut branch = Branch::new(lift.name.clone(), lift.at, line).with_injector(injector);
        branch.valve_loss = valve_loss;
        branch.check_valve = given.check_valve.unwrap_or_default();
        branch.open = lift.open;
        // What cannot be is told here, with its line; the solver would tell it without.
        let checked = sheet.keep(branch.check(), "branch.bore");
        checked.map(|()| (branch, run))
    }

    fn injector(&self, given: &GivenBranch) -> Option<Injector> {
        let sheet = &self.sheet;
        let chosen = given.chosen_in.as_deref().unwrap_or("branch.injector");
        let section = chosen.split('.').next().unwrap_or("branch");
        let path = |key: &str| format!("{section}.{key}");
        match given.injector.unwrap_or("open_tube") {
            "drilled_ring" => {
                let holes = needed(
                    sheet,
                    given.holes,
                    &path("holes"),
                    "the number of holes of the ring, such as 24",
                );
                let diameter = needed(
                    sheet,
                    given.hole_diameter,
                    &path("hole_diameter"),
                    "the diameter of its holes, such as \"2 mm\"",
                );
                let orifice = Orifice::new(diameter?).with_holes(holes?);
                Some(Injector::DrilledRing(orifice.with_discharge(
                    given.discharge.unwrap_or(orifice.discharge),
                )))
            }
            "diffuser" => {
                let curve = needed(
                    sheet,
                    given.diffuser_loss.as_ref(),
                    &path("diffuser_loss"),
                    "its loss over its air, such as [[\"20 L/min\", \"1.5 kPa\"], [\"40 L/min\", \"2.1 kPa\"]]",
                )?;
                let key = path("diffuser_loss");
                let points = curve
                    .iter()
                    .map(|(air, loss)| Some((self.given.air_flow(sheet, *air, &key)?, *loss)));
                let points: Vec<_> = points.collect::<Option<_>>()?;
                match LossCurve::new(points) {
                    Ok(curve) => Some(Injector::Diffuser(curve)),
                    Err(error) => {
                        sheet.fault(sheet.place(&key), &key, Problem::Refused(error));
                        None
                    }
                }
            }
            _ => Some(Injector::OpenTube),
        }
    }

    /// A run of pipe without its other losses; what is missing is asked for in a section.
    fn run(&self, given: &GivenRun, section: &str, other: &GivenRun) -> Option<Run> {
        let given = given.or(other);
        let run = self.pipe(&given, section);
        let length = needed(
            &self.sheet,
            given.length,
            &format!("{section}.length"),
            "the length of this pipe, such as \"12 m\"",
        );
        let mut run = run?;
        run.length = length?;
        Some(run)
    }

    /// The same without its length.
    fn pipe(&self, given: &GivenRun, section: &str) -> Option<Run> {
        let bore = needed(
            &self.sheet,
            given.bore,
            &format!("{section}.bore"),
            "the bore of this pipe, such as \"40 mm\", or a pipe of `risewater list pipes`",
        )?;
        let mut run = match given.pipe {
            Some(pipe) => Run::of_pipe(pipe, base(0.0)),
            None => Run::new(bore, base(0.0)),
        };
        run.roughness = given.roughness.unwrap_or(run.roughness);
        run.fittings = given.fittings.clone().unwrap_or_default();
        Some(run)
    }

    /// The loss of a fitting in a run, at the Reynolds number of its air.
    fn fitting_loss(
        &self,
        fitting: Fitting,
        run: &Run,
        air: AirFlow,
        temperature: ThermodynamicTemperature,
    ) -> Option<Ratio> {
        let mut alone = run.clone();
        (alone.fittings, alone.other_loss) = (vec![(fitting, 1)], base(0.0));
        let line = self
            .sheet
            .keep(alone.line(air, temperature), "branch.bore")?;
        Some(line.loss)
    }
}

/// Temperature of the intake unless the file says otherwise.
const INTAKE_C: f64 = 20.0;
/// Relative humidity of the intake unless the file says otherwise.
const HUMIDITY: f64 = 0.5;
/// Margin on the pressure rise unless the file says otherwise; common practice.
const RISE_MARGIN: f64 = 0.1;
