//! Branches, injectors and runs of pipe.

use std::sync::Arc;

use super::placed::Placed;
use crate::air::AirFlow;
use crate::design::DesignFile;
use crate::design::fault::Problem;
use crate::design::layers::Layers;
use crate::design::set;
use crate::keys::{balance, branch, lift, main_line};
use crate::pipe::Pipe;
use crate::pipe::fittings::Fitting;
use crate::riser::InjectorKind;
use crate::supply::{Branch, Injector, LossCurve, Orifice, PipeRun};
use crate::units::{Length, Ratio, ThermodynamicTemperature, base};

/// A bore, and the pipe that has it where one is named.
type Bore = Option<(Length, Option<Arc<Pipe>>)>;

impl DesignFile {
    /// The branch of a lift, with its run of pipe.
    pub(super) fn branch(
        &self,
        lift: &Placed,
        arrival: ThermodynamicTemperature,
    ) -> Option<(Branch, PipeRun)> {
        let sheet = &self.sheet;
        let all = sheet.at(["branch"]);
        let section = lift.section.as_deref();
        let (own, bore) = match section {
            Some(section) => (
                sheet.at([section, "branch"]),
                sheet.at([section]).bore(&lift::LINE_BORE, &lift::LINE_PIPE),
            ),
            None => (sheet.at(["branch"]), None),
        };
        let bore = bore.or_else(|| all.bore(&branch::BORE, &branch::PIPE));
        // What is missing is asked for in [branch], of whatever lift it is.
        let run = self.run(&own, bore, &all);
        let injector = self.injector(&own, self.injector_kind(section));
        let (mut run, injector) = (run?, injector?);
        run.other_loss = if let Some(loss) = own.get(&branch::LOSS) {
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
        let valve_loss = match own.get(&branch::VALVE_LOSS) {
            Some(loss) => loss,
            None => self.fitting_loss(Fitting::BallValve, &run, lift.air, arrival)?,
        };
        let line = sheet.keep(run.line(lift.air, arrival), "branch.bore")?;
        let mut branch = Branch::new(lift.name.clone(), lift.at, line).with_injector(injector);
        branch.valve_loss = valve_loss;
        branch.check_valve = own.usual(&branch::CHECK_VALVE)?;
        branch.open = lift.open;
        let hole = own.get(&branch::ORIFICE).map(Orifice::new);
        branch.orifice = hole.map(|mut hole| {
            let plates = sheet.at(["balance"]);
            set(
                &mut hole.discharge,
                plates.get(&balance::DISCHARGE_COEFFICIENT),
            );
            hole
        });
        // What cannot be is told here, with its line; the solver would tell it without.
        let checked = sheet.keep(branch.check(), "branch.bore");
        checked.map(|()| (branch, run))
    }

    /// How air gets into the riser of a lift, or of all; none where the file does not say.
    pub(in crate::design) fn injector_kind(&self, lift: Option<&str>) -> Option<InjectorKind> {
        let own = self.sheet.at([lift.unwrap_or("branch"), "branch", "riser"]);
        own.get(&branch::INJECTOR)
    }

    fn injector(&self, all: &Layers, kind: Option<InjectorKind>) -> Option<Injector> {
        // What is missing is asked for where the injector is chosen.
        let chosen = all.with(&[&branch::INJECTOR]);
        let chosen = chosen.unwrap_or_else(|| self.sheet.at(["branch"]));
        match kind.unwrap_or(InjectorKind::OpenTube) {
            InjectorKind::DrilledRing => {
                let holes = chosen.or_missing(all.get(&branch::HOLES), &branch::HOLES);
                let diameter = all.get(&branch::HOLE_DIAMETER);
                let diameter = chosen.or_missing(diameter, &branch::HOLE_DIAMETER);
                let mut orifice = Orifice::new(diameter?).with_holes(holes?);
                set(
                    &mut orifice.discharge,
                    all.get(&branch::DISCHARGE_COEFFICIENT),
                );
                Some(Injector::DrilledRing(orifice))
            }
            InjectorKind::Diffuser => {
                let curve = all.get(&branch::DIFFUSER_LOSS);
                let curve = chosen.or_missing(curve, &branch::DIFFUSER_LOSS)?;
                let key = chosen.path(&branch::DIFFUSER_LOSS);
                let points = curve
                    .into_iter()
                    .map(|[air, loss]| Some((self.counted(base(air), &key)?, base(loss))));
                match LossCurve::new(points.collect::<Option<Vec<_>>>()?) {
                    Ok(curve) => Some(Injector::Diffuser(curve)),
                    Err(error) => {
                        chosen.fault(&branch::DIFFUSER_LOSS, Problem::Refused(error));
                        None
                    }
                }
            }
            InjectorKind::OpenTube => Some(Injector::OpenTube),
        }
    }

    /// A run of pipe without its other losses; what is missing is asked for in a section.
    pub(super) fn run(&self, own: &Layers, bore: Bore, asked: &Layers) -> Option<PipeRun> {
        let run = self.pipe(own, bore, asked);
        let length = asked.or_missing(own.get(&main_line::LENGTH), &main_line::LENGTH);
        let mut run = run?;
        run.length = length?;
        Some(run)
    }

    /// The same without its length.
    pub(super) fn pipe(&self, own: &Layers, bore: Bore, asked: &Layers) -> Option<PipeRun> {
        let (bore, pipe) = asked.or_missing(bore, &main_line::BORE)?;
        let mut run = match &pipe {
            Some(pipe) => PipeRun::of_pipe(Arc::clone(pipe), base(0.0)),
            None => PipeRun::new(bore, base(0.0)),
        };
        if pipe.is_some_and(|pipe| pipe.is_own()) {
            run.others.clone_from(&self.sheet.pipes.pipes);
        }
        set(&mut run.roughness, own.get(&main_line::ROUGHNESS));
        let fittings = own.get(&main_line::FITTINGS).into_iter().flatten();
        let fittings = fittings.map(|(name, count)| Some((name.parse().ok()?, count)));
        run.fittings = fittings.collect::<Option<_>>()?;
        Some(run)
    }

    /// The loss of a fitting in a run, at the Reynolds number of its air.
    pub(super) fn fitting_loss(
        &self,
        fitting: Fitting,
        run: &PipeRun,
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
