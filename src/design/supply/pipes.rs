//! Branches, injectors and runs of pipe.

use std::sync::Arc;

use super::placed::Placed;
use crate::air::AirFlow;
use crate::design::Design;
use crate::design::fault::Problem;
use crate::design::sections::{GivenBranch, GivenRun, needed};
use crate::pipe::fittings::Fitting;
use crate::supply::{Branch, Injector, LossCurve, Orifice, Run};
use crate::units::{Ratio, ThermodynamicTemperature, base};

impl Design {
    /// The branch of a lift, with its run of pipe.
    pub(super) fn branch(
        &self,
        lift: &Placed,
        arrival: ThermodynamicTemperature,
    ) -> Option<(Branch, Run)> {
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
    pub(super) fn run(&self, given: &GivenRun, section: &str, other: &GivenRun) -> Option<Run> {
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
    pub(super) fn pipe(&self, given: &GivenRun, section: &str) -> Option<Run> {
        let bore = needed(
            &self.sheet,
            given.bore,
            &format!("{section}.bore"),
            "the bore of this pipe, such as \"40 mm\", or a pipe of `risewater list pipes`",
        )?;
        let mut run = match &given.pipe {
            Some(pipe) => Run::of_pipe(Arc::clone(pipe), base(0.0)),
            None => Run::new(bore, base(0.0)),
        };
        if given.pipe.as_ref().is_some_and(|pipe| pipe.is_own()) {
            run.others.clone_from(&self.sheet.pipes.pipes);
        }
        run.roughness = given.roughness.unwrap_or(run.roughness);
        run.fittings = given.fittings.clone().unwrap_or_default();
        Some(run)
    }

    /// The loss of a fitting in a run, at the Reynolds number of its air.
    pub(super) fn fitting_loss(
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
