//! The bench of a design file: what to try, and the instruments.

use super::fault::{FileError, Place, Problem};
use super::sheet::one;
use super::{DesignFile, set};
use crate::air::AirFlow;
use crate::keys::{duty, riser, trial};
use crate::riser::{Riser, RiserSpec};
use crate::trial::{Bench, Instruments, Target};
use crate::units::{Length, Ratio};

impl DesignFile {
    /// Whether the file plans a trial; what that lacks is noted.
    pub(super) fn check_bench(&self) -> bool {
        let own = self.sheet.at(["trial"]);
        let asked = [
            &trial::SUBMERGENCES.row,
            &trial::LIFTS.row,
            &trial::AIR_FLOWS.row,
        ];
        let plans = own.with(&asked).is_some();
        if plans && let Some(bench) = self.read_bench(None) {
            self.sheet.keep(bench.check(), "trial");
        }
        plans
    }

    /// The bench of `[trial]`: the riser to move, what to try, and the instruments.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    ///
    /// # Examples
    /// ```
    /// use risewater::design::DesignFile;
    /// use risewater::trial::DEMO_RIG;
    ///
    /// let bench = DesignFile::parse(DEMO_RIG)?.bench()?;
    /// assert_eq!(bench.submergences.len(), 3);
    /// # Ok::<(), risewater::design::FileError>(())
    /// ```
    pub fn bench(&self) -> Result<Bench, FileError> {
        let bench = self.answer(self.read_bench(None))?;
        Ok(bench.with_law(self.law.clone()))
    }

    /// The bench for one lift, such as a design of a search or a lift on a header, at the air that it is to have.
    /// `[trial]` may say what else to try, and what is at hand; without, it is the lift's own place, at its own air and
    /// at two more air flows at which readings tell much of it.
    ///
    /// # Errors
    /// As [`DesignFile::bench`].
    ///
    /// # Examples
    /// ```
    /// use risewater::design::{DesignFile, EXAMPLE};
    /// use risewater::sizing::size;
    ///
    /// let file = DesignFile::parse(EXAMPLE)?;
    /// let found = size(&file.problem()?)?;
    /// let best = found.best().ok_or("no design")?;
    /// let plan = file.bench_for(&best.riser, best.point.air)?.plan()?;
    /// assert_eq!(plan.runs.len(), 3);
    /// assert!(plan.runs.iter().any(|run| run.air == best.point.air));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn bench_for(&self, riser: &Riser, air: AirFlow) -> Result<Bench, FileError> {
        let refused = |error| one(Place::Absent, "trial", Problem::Refused(error));
        let around = self
            .law
            .on(riser)
            .and_then(|known| known.readings_around(air));
        let lift = (riser, air, around.map_err(refused)?);
        let bench = self.answer(self.read_bench(Some(&lift)))?;
        Ok(bench.with_law(self.law.clone()))
    }

    /// The instruments of `[trial]`, with their defaults.
    #[must_use]
    pub fn instruments(&self) -> Instruments {
        let (own, mut kit) = (self.sheet.at(["trial"]), Instruments::default());
        set(
            &mut kit.container_reading,
            own.get(&trial::CONTAINER_READING),
        );
        set(&mut kit.bottle_reading, own.get(&trial::BOTTLE_READING));
        set(&mut kit.start_reaction, own.get(&trial::START_REACTION));
        set(&mut kit.stop_reaction, own.get(&trial::STOP_REACTION));
        set(&mut kit.watch_step, own.get(&trial::WATCH_STEP));
        set(&mut kit.level, own.get(&trial::LEVEL));
        set(&mut kit.tape, own.get(&trial::TAPE));
        set(
            &mut kit.container_calibration,
            own.get(&trial::CONTAINER_CALIBRATION),
        );
        set(
            &mut kit.bottle_calibration,
            own.get(&trial::BOTTLE_CALIBRATION),
        );
        set(&mut kit.water_density, own.get(&trial::WATER_DENSITY));
        set(&mut kit.air_meter, own.get(&trial::AIR_METER));
        set(
            &mut kit.systematic_reaction,
            own.get(&trial::SYSTEMATIC_REACTION),
        );
        set(&mut kit.shared_timing, own.get(&trial::SHARED_TIMING));
        set(&mut kit.balance, own.get(&trial::BALANCE));
        set(&mut kit.temperature, own.get(&trial::TEMPERATURE));
        set(&mut kit.barometer, own.get(&trial::BAROMETER));
        kit
    }

    /// The relative standard uncertainty that `[trial]` wants, where it does.
    #[must_use]
    pub fn wanted(&self) -> Option<Ratio> {
        self.sheet.at(["trial"]).get(&trial::WANTED)
    }

    /// The riser of `[riser]`, whose depth and lift each run of a trial sets.
    ///
    /// # Errors
    /// [`FileError::Faults`] when something is missing or refused.
    pub fn movable_riser(&self) -> Result<RiserSpec, FileError> {
        self.answer(self.read_movable())
    }

    /// A riser whose depth and lift are set elsewhere, with those of the file where there are any.
    fn read_movable(&self) -> Option<RiserSpec> {
        let own = self.sheet.at(["riser"]);
        let bore = own.or_missing_as(self.bore(), &riser::BORE, "52 mm")?;
        let (submergence, lift) = (own.get(&riser::SUBMERGENCE), own.get(&riser::LIFT));
        Some(self.spec(
            bore,
            submergence.unwrap_or_default(),
            lift.unwrap_or_default(),
        ))
    }

    /// The bench of `[trial]`, `[riser]` and `[air]`, or of a lift with its air and the air flows to try, in its site;
    /// faults are noted.
    fn read_bench(&self, of: Option<&(&Riser, AirFlow, Vec<AirFlow>)>) -> Option<Bench> {
        let (own, placed) = (self.sheet.at(["trial"]), self.sheet.at(["riser"]));
        let lift_of = of.map(|(riser, ..)| *riser.spec());
        let site = self.read_site();
        let spec = lift_of.or_else(|| self.read_movable());
        let (submergence, lift) = match lift_of {
            Some(spec) => (
                Some(spec.dimensions.submergence),
                Some(spec.dimensions.lift),
            ),
            None => (placed.get(&riser::SUBMERGENCE), placed.get(&riser::LIFT)),
        };
        let several = |list: Option<Vec<Length>>, one: Option<Length>| {
            list.or_else(|| one.map(|one| vec![one]))
        };
        let submergences = several(own.get(&trial::SUBMERGENCES), submergence);
        let submergences = own.or_missing(submergences, &trial::SUBMERGENCES);
        let lifts = own.or_missing(several(own.get(&trial::LIFTS), lift), &trial::LIFTS);
        let counted = |flow| self.counted(flow, trial::AIR_FLOWS.path);
        let air_flows = match own.get(&trial::AIR_FLOWS) {
            Some(flows) => flows.into_iter().map(counted).collect(),
            None => match of {
                Some((.., around)) => Some(around.clone()),
                None => self.read_air().map(|air| vec![air]),
            },
        };
        let target = Target {
            submergence,
            lift: lift.or_else(|| self.sheet.at(["duty"]).get(&duty::LIFT)),
            air: match of {
                Some((_, air, _)) => Some(*air),
                None => self.has_air_flow().then(|| self.read_air()).flatten(),
            },
            water_flow: self.duty_flow(),
        };
        let mut bench = Bench::new(spec?, site?, self.model())
            .with_runs(submergences?, lifts?, air_flows?)
            .with_instruments(self.instruments())
            .with_target(target);
        set(&mut bench.wanted_width, own.get(&trial::WANTED_WIDTH));
        set(&mut bench.wanted, own.get(&trial::WANTED));
        set(&mut bench.pulsation, own.get(&trial::PULSATION));
        bench.container = own.get(&trial::CONTAINER);
        bench.bottle = own.get(&trial::BOTTLE);
        bench.tank_area = own.get(&trial::TANK_AREA);
        Some(bench)
    }
}
