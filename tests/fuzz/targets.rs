//! What each fuzz target does with its bytes. The targets of `tests/fuzz/bin` call these functions on whatever a fuzzer makes up, and
//! `tests/replay.rs` on the inputs that were kept.
//!
//! Each asks as the tool's commands do and panics at a defect: a panic within, a number of an answer that is not finite, a text
//! or a picture that says so, a refusal without words, a solver that did not settle. A refusal is the `Err` of a
//! `Result`, so it has no answer beside it.
//!
//! What may rightly take long is left out by its size: searches of more than [`CANDIDATES`], files of more than [`LIFTS`] lifts or tanks,
//! inputs longer than [`LONGEST`]. So is the picture of a header's pressures, and the design sheet that has it in it: where lifts lose
//! their air one after another, each point of its curve is a search within a search for each of them.

use std::fmt::Debug;

use risewater::air::AirState;
use risewater::answer::{
    AerationAnswer, Answer, CheckAnswer, CurveAnswer, CurveTerms, ExistingAnswer, FitAnswer,
    FlowAnswer, LoopAnswer, NeedAnswer, PlanAnswer, SizeAnswer, SupplyAnswer, TanksAnswer, Terms,
    TrialAnswer, TrialTerms,
};
use risewater::chart::{DayFigure, NeedFigure};
use risewater::design::{
    AERATION_EXAMPLE, DesignFile, EXAMPLE, EXISTING_EXAMPLE, FileError, LOOP_EXAMPLE, NEED_EXAMPLE,
    SUPPLY_EXAMPLE, TANKS_EXAMPLE, value_of, with_values,
};
use risewater::keys::SECTIONS;
use risewater::report::{BuildPage, LoopSheet, UnitSystem};
use risewater::riser::{BrinkHead, Dimensions, Outlet, Site};
use risewater::sizing::{Task, size};
use risewater::trial::{self, DEMO_RIG, Fit, parse_runs, reduce};
use risewater::units::quantity;
use risewater::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate, cubic_meter_per_second,
    degree_celsius, meter, pascal, per_mille, ratio,
};
use risewater::{
    AirFlow, Calibration, Error, ErrorLaw, Friction, Model, OperatingPoint, Riser, RiserSpec, Slip,
    Water, transfer,
};

/// Most candidates of a search.
const CANDIDATES: usize = 24;
/// Most sections `[[lift]]`, `[[duty]]`, `[[rearing_tank]]` and the like of a file, together.
const LIFTS: usize = 5;
/// Most bytes of an input.
const LONGEST: usize = 6000;
/// Points of a curve.
const POINTS: usize = 9;
/// Designs in a text, and rows of a map.
const SHOWN: usize = 4;

/// What the words of a solver that failed have in them.
const UNSETTLED: &str = "did not settle";

const BOTH: [UnitSystem; 2] = [UnitSystem::Metric, UnitSystem::Us];

type Told = Result<(), Box<dyn std::error::Error>>;

/// Words of numbers that are none.
fn says_not_finite(text: &str) -> bool {
    text.split(|c: char| !c.is_alphanumeric())
        .any(|word| word == "NaN" || word == "inf")
}

/// What came of an input, which may have such words itself, as a name.
struct Judge {
    words_of_its_own: bool,
}

impl Judge {
    fn of(input: &str) -> Self {
        Self {
            words_of_its_own: says_not_finite(input),
        }
    }

    fn text(&self, text: &str) {
        assert!(
            self.words_of_its_own || !says_not_finite(text),
            "a number that is not finite: {text}"
        );
        assert!(!text.contains(UNSETTLED), "{text}");
    }

    fn texts(&self, text: impl Fn(UnitSystem) -> String) {
        for units in BOTH {
            self.text(&text(units));
        }
    }

    /// An answer: its numbers before JSON, which writes those that are not finite as null, and its JSON.
    fn answer(&self, answer: &(impl Answer + Debug)) {
        self.text(&format!("{answer:?}"));
        self.text(&answer.json().to_string());
    }
}

/// A refusal, if it is one.
fn refusal(told: Told) {
    if let Err(error) = told {
        let text = error.to_string();
        assert!(
            !text.trim().is_empty(),
            "a refusal without words: {error:?}"
        );
        // It may tell of what was written, or of what TOML could have had there: "invalid float, expected `inf`".
        assert!(!text.contains(UNSETTLED), "{text}");
        if let Some(FileError::Faults { faults }) = error.downcast_ref() {
            assert!(!faults.is_empty(), "faults without any");
            for fault in faults {
                assert!(!fault.problem.to_string().trim().is_empty(), "{fault:?}");
            }
        }
    }
}

/// The text of bytes that are not too many.
fn text_of(bytes: &[u8]) -> Option<&str> {
    (bytes.len() <= LONGEST)
        .then(|| std::str::from_utf8(bytes).ok())
        .flatten()
}

/// The text of a design file: its check, and the answer of every command that it has the sections for.
pub fn design(bytes: &[u8]) {
    let Some(text) = text_of(bytes) else { return };
    let judge = Judge::of(text);
    refusal(
        DesignFile::parse(text)
            .map(|read| ask(&judge, &with_tables(read), text))
            .map_err(Into::into),
    );
}

/// With the tables that the examples name; others are not looked for on disk.
fn with_tables(read: DesignFile) -> DesignFile {
    read.in_folder(std::path::Path::new("/no folder of this name"))
        .with_text("blower.csv", risewater::supply::blower::DEMO)
        .with_text("crop.csv", risewater::need::DEMO)
        .with_text("aeration.csv", risewater::gas::aeration::DEMO_READINGS)
}

/// Every question to a file.
fn ask(judge: &Judge, read: &DesignFile, text: &str) {
    refusal(check(judge, read));
    refusal(flow(judge, read));
    refusal(curve(judge, read));
    if text.matches("[[").count() > LIFTS {
        return;
    }
    refusal(sized(judge, read));
    refusal(need(judge, read));
    refusal(supply(judge, read));
    refusal(existing(judge, read));
    refusal(water_loop(judge, read));
    refusal(plan(judge, read));
    refusal(aeration(judge, read));
}

fn check(judge: &Judge, read: &DesignFile) -> Told {
    read.check()?;
    let (file, faults) = (None, Vec::new());
    judge.answer(&CheckAnswer { file, faults });
    Ok(())
}

fn flow(judge: &Judge, read: &DesignFile) -> Told {
    let (riser, air) = read.riser_and_air()?;
    let mut terms = read.terms(ErrorLaw::default())?;
    terms.profile = true;
    let found = FlowAnswer::of(&riser, air, &terms)?;
    judge.answer(&found);
    judge.texts(|units| found.text(units) + &found.profile_text(units));
    judge.texts(|units| found.profile_csv(units));
    judge.text(&found.drawing(UnitSystem::Metric).svg()?);
    judge.text(&found.profile_figure(UnitSystem::Us).svg()?);
    Ok(())
}

fn curve(judge: &Judge, read: &DesignFile) -> Told {
    let riser = read.riser()?;
    let mut levels = read.levels()?;
    levels.push(Length::default());
    levels.sort_by(|a, b| a.value.total_cmp(&b.value));
    levels.dedup();
    let asked = CurveTerms {
        points: POINTS,
        wanted: read.duty_flow(),
        levels: &levels,
        air: read.air().ok(),
    };
    let found = CurveAnswer::of(&riser, &asked, &read.terms(ErrorLaw::default())?)?;
    judge.answer(&found);
    judge.texts(|units| found.text(units));
    judge.texts(|units| found.csv(units));
    judge.text(&found.figure(UnitSystem::Us).chart().svg()?);
    Ok(())
}

fn is_small(task: &Task) -> bool {
    task.candidates() <= CANDIDATES
}

fn sized(judge: &Judge, read: &DesignFile) -> Told {
    let terms = read.terms(ErrorLaw::default())?;
    if read.has_several_duties() {
        return tanks(judge, read, &terms);
    }
    let task = read.problem()?;
    if !is_small(&task) {
        return Ok(());
    }
    let need = read.has_need().then(|| read.room_need()).transpose()?;
    let found = size(&task)?;
    let found = SizeAnswer::of(&task, &found, 2, &terms, need.as_ref())?;
    judge.answer(&found);
    judge.texts(|units| found.text(units, SHOWN));
    judge.texts(|units| found.full_text(units, SHOWN));
    judge.texts(|units| found.csv(units) + &found.rejected_text(units));
    judge.text(&found.map(UnitSystem::Us, SHOWN).svg());
    judge.text(&found.map(UnitSystem::Metric, SHOWN).text());
    Ok(())
}

fn tanks(judge: &Judge, read: &DesignFile, terms: &Terms) -> Told {
    let asked = read.tanks_on_header()?;
    if asked.tanks.iter().any(|tank| !is_small(&tank.task)) {
        return Ok(());
    }
    let found = asked.search()?;
    if let Some(best) = found.best() {
        let found = TanksAnswer::of(&found, best, terms)?;
        judge.answer(&found);
        judge.texts(|units| found.text(units, SHOWN));
        judge.texts(|units| found.full_text(units, SHOWN) + &found.csv(units));
        judge.text(&found.figure(UnitSystem::Us).chart().svg()?);
    }
    Ok(())
}

fn need(judge: &Judge, read: &DesignFile) -> Told {
    let rearing = read.rearing()?;
    let installed = rearing.installed.as_ref();
    let found = NeedAnswer::of(&rearing.room, &rearing.need, installed, &rearing.defaults)?;
    let found = found.with_range(&rearing.range);
    judge.answer(&found);
    judge.texts(|units| found.text(units) + &found.full_text(units));
    judge.texts(|units| found.csv(units));
    if !rearing.need.days.is_empty() {
        let figure = NeedFigure::of(&rearing.need, installed, UnitSystem::Us)?;
        judge.text(&figure.chart().svg()?);
    }
    Ok(())
}

fn supply(judge: &Judge, read: &DesignFile) -> Told {
    let supply = read.supply()?;
    let problem = read.supply_problem()?.filter(is_small);
    let need = read.has_need().then(|| read.room_need()).transpose()?;
    let terms = read.supply_terms(problem.as_ref(), need.as_ref())?;
    let solved = supply.solve()?;
    let found = SupplyAnswer::of(&supply, &solved, &terms)?;
    judge.answer(&found);
    judge.texts(|units| found.text(units) + &found.full_text(units));
    judge.texts(|units| found.csv(units));
    judge.text(&BuildPage::of("", &found).html()?);
    Ok(())
}

fn existing(judge: &Judge, read: &DesignFile) -> Told {
    let (existing, terms) = (read.existing()?, read.existing_terms()?);
    let steady = existing.steady()?;
    let found = ExistingAnswer::of(&existing, &steady, &terms)?;
    judge.answer(&found);
    judge.texts(|units| found.text(units) + &found.full_text(units));
    judge.texts(|units| found.csv(units));
    Ok(())
}

fn water_loop(judge: &Judge, read: &DesignFile) -> Told {
    let asked = read.water_loop()?.sized()?;
    let found = LoopAnswer::of(&asked.water, &asked.day, &asked.terms())?;
    judge.answer(&found);
    judge.texts(|units| found.text(units) + &found.full_text(units));
    judge.texts(|units| found.csv(units));
    let day = asked.water.day(&asked.day)?;
    let figure = day
        .day()
        .map(|day| DayFigure::of(&asked.water, day, &asked.day, UnitSystem::Us))
        .transpose()?;
    judge.text(&LoopSheet::of("", &found, figure.as_ref()).html()?);
    Ok(())
}

fn plan(judge: &Judge, read: &DesignFile) -> Told {
    let plan = read.bench()?.plan()?;
    let found = PlanAnswer::of(&plan);
    judge.answer(&found);
    judge.texts(|units| found.text(units));
    judge.text(&plan.blank_sheet());
    Ok(())
}

fn aeration(judge: &Judge, read: &DesignFile) -> Told {
    let found = transfer::Aeration::of(read.aeration()?)?;
    judge.text(&found.chart().svg()?);
    let found = AerationAnswer::of(&found)?;
    judge.answer(&found);
    judge.texts(|units| found.text(units));
    Ok(())
}

/// A crop as CSV, in the place of the example's.
pub fn crop(bytes: &[u8]) {
    let Some(text) = text_of(bytes) else { return };
    let judge = Judge::of(text);
    let read = example(NEED_EXAMPLE).with_text("crop.csv", text);
    refusal(need(&judge, &read));
}

/// A blower's table as CSV: its curve at work on two lifts.
pub fn blower(bytes: &[u8]) {
    let Some(text) = text_of(bytes) else { return };
    let judge = Judge::of(text);
    let few = lifts_of(SUPPLY_EXAMPLE, 2);
    let read = example(&few).with_text("blower.csv", text);
    refusal(supply(&judge, &read));
}

/// An example with so many of its lifts, and no search for a depth.
fn lifts_of(example: &str, count: usize) -> String {
    let mut parts = example.split("[[lift]]");
    let head = parts.next().unwrap_or_default();
    let head: String = head
        .split_inclusive("\n\n")
        .filter(|part| !part.starts_with("[duty]") && !part.starts_with("[limits]"))
        .collect();
    let lifts: String = parts
        .take(count)
        .map(|lift| format!("[[lift]]{lift}"))
        .collect();
    head + &lifts
}

fn example(text: &str) -> DesignFile {
    with_tables(DesignFile::parse(text).expect("the examples are good"))
}

/// Readings as CSV: the sheet of a trial, or oxygen over time where the first line that is no remark starts so.
pub fn readings(bytes: &[u8]) {
    let Some(text) = text_of(bytes) else { return };
    let judge = Judge::of(text);
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    if lines.next().is_some_and(|line| line.starts_with("time")) {
        let read = example(AERATION_EXAMPLE).with_readings(text);
        return refusal(aeration(&judge, &read));
    }
    refusal(sheet(&judge, text));
}

/// The sheet of a trial on the invented rig: reduced, and fitted, a configuration at a time.
fn sheet(judge: &Judge, text: &str) -> Told {
    let rig = example(DEMO_RIG);
    let (runs, bench, kit) = (parse_runs(text)?, rig.bench()?, rig.instruments());
    let found = TrialAnswer::of(&runs, Some(&bench), &kit, TrialTerms::default())?;
    judge.answer(&found);
    judge.texts(|units| found.text(units) + &found.csv(units));
    let reduced = reduce(&runs, &kit)?;
    let all = trial::configurations(reduced.iter().map(|run| run.configuration.as_str()));
    for name in all.into_iter().take(2) {
        let of_it = reduced
            .iter()
            .filter(|run| trial::same_configuration(&run.configuration, name));
        let of_it: Vec<_> = of_it.take(8).cloned().collect();
        let points = Calibration::of_runs(&of_it, &rig.movable_riser()?);
        refusal(
            points
                .map_err(Into::into)
                .and_then(|points| fit(judge, points)),
        );
    }
    Ok(())
}

fn fit(judge: &Judge, points: Calibration) -> Told {
    let fit = Fit::of(points, Model::default(), &ErrorLaw::default(), None)?;
    let found = FitAnswer::of(&fit);
    judge.answer(&found);
    judge.texts(|units| found.text(units));
    judge.text(&fit.figure(UnitSystem::Metric)?.chart().svg()?);
    Ok(())
}

/// The text of a file of measured points: written again, fitted, and heeded by a riser.
pub fn calibration(bytes: &[u8]) {
    let Some(text) = text_of(bytes) else { return };
    let judge = Judge::of(text);
    refusal(calibrated(&judge, text));
}

fn calibrated(judge: &Judge, text: &str) -> Told {
    let points = Calibration::parse(text)?;
    if points.points().len() > 8 {
        return Ok(());
    }
    let written = points.file_text()?;
    let again = Calibration::parse(&written).expect("what was written is read");
    assert_eq!(again.points().len(), points.points().len(), "{written}");
    judge.text(&written);
    refusal(fit(judge, points.clone()));
    let read = example(EXAMPLE);
    let (riser, air) = read.riser_and_air()?;
    let terms = read.terms(ErrorLaw::default().with_calibration(points))?;
    let found = FlowAnswer::of(&riser, air, &terms)?;
    judge.answer(&found);
    judge.texts(|units| found.text(units));
    Ok(())
}

/// Lines of `section.key=value` that replace values of an example; the first byte says which.
pub fn set(bytes: &[u8]) {
    let examples = [
        EXAMPLE.to_owned(),
        lifts_of(SUPPLY_EXAMPLE, 2),
        EXISTING_EXAMPLE.to_owned(),
        NEED_EXAMPLE.to_owned(),
        LOOP_EXAMPLE.to_owned(),
        TANKS_EXAMPLE.to_owned(),
        DEMO_RIG.to_owned(),
        AERATION_EXAMPLE.to_owned(),
    ];
    let Some((first, rest)) = bytes.split_first() else {
        return;
    };
    let Some(text) = text_of(rest) else { return };
    let file = &examples[usize::from(*first) % examples.len()];
    let judge = Judge::of(text);
    let replacements: Vec<String> = text.lines().take(8).map(str::to_owned).collect();
    let read = DesignFile::parse_with(file, &replacements);
    // The file that is written with the values says the same.
    let written = with_values(file, &replacements);
    if let (Ok(_), Ok(written)) = (&read, &written) {
        let again = DesignFile::parse(written);
        assert!(again.is_ok(), "{}\n{written}", again.unwrap_err());
    }
    refusal(written.map(|_| ()).map_err(Into::into));
    refusal(
        read.map(|read| ask(&judge, &with_tables(read), file))
            .map_err(Into::into),
    );
}

/// A text as every quantity, and as the value of every key.
pub fn units(bytes: &[u8]) {
    let Some(text) = text_of(bytes).filter(|text| text.len() < 200) else {
        return;
    };
    let judge = Judge::of(text);
    macro_rules! finite {
        ($($name:ident)*) => {
            $(match quantity::$name(text) {
                Ok(found) => assert!(found.value.is_finite(), "{text:?}"),
                Err(error) => refusal(Err(error.into())),
            })*
        };
    }
    finite! {
        length pressure volume_rate mass_rate temperature ratio mass_fraction density dynamic_viscosity
        surface_tension velocity power time volume mass area temperature_interval concentration oxygen_use rate
        share_of_day turnover mass_flux
    }
    if let Ok(found) = quantity::absolute_pressure(text) {
        assert!(found.get::<pascal>().is_finite());
    }
    let _ = quantity::gauge_pressure(text);
    for row in SECTIONS.iter().flat_map(|section| section.keys) {
        match value_of(row.path, text) {
            Ok(si) => {
                assert!(si.is_finite(), "{}={text}", row.path);
                for units in BOTH {
                    judge.text(&row.text(si, units).unwrap_or_default());
                }
            }
            Err(problem) => refusal(Err(problem.into())),
        }
    }
}

/// Numbers drawn from bytes.
struct Bytes<'a>(&'a [u8]);

impl Bytes<'_> {
    fn byte(&mut self) -> u8 {
        let Some((first, rest)) = self.0.split_first() else {
            return 0;
        };
        self.0 = rest;
        *first
    }

    /// A number of a range, evenly spread; one of its ends; or any number at all, from its bits.
    fn number(&mut self, low: f64, high: f64) -> f64 {
        match self.byte() {
            0 => low,
            1 => high,
            2 => f64::from_bits(u64::from_le_bytes(std::array::from_fn(|_| self.byte()))),
            first => {
                let share = u32::from_le_bytes([self.byte(), self.byte(), self.byte(), first]);
                low + (high - low) * f64::from(share) / f64::from(u32::MAX)
            }
        }
    }

    /// The same, evenly spread in the logarithm.
    fn magnitude(&mut self, low: f64, high: f64) -> f64 {
        let number = self.number(low.log2(), high.log2());
        number.exp2()
    }

    fn one<T: Copy>(&mut self, of: &[T]) -> T {
        of[usize::from(self.byte()) % of.len()]
    }
}

/// The bytes as a riser and its air: what it does, its peak, its budget, and the air for a flow.
pub fn solver(bytes: &[u8]) {
    if bytes.len() <= LONGEST {
        let judge = Judge::of("");
        let mut bytes = Bytes(bytes);
        let told = riser_of(&mut bytes).and_then(|riser| {
            let told = solved(&judge, &riser, &mut bytes);
            if let Err(error @ Error::NotConverged { .. }) = &told {
                panic!(
                    "{error}: {:?} {:?} {:?}",
                    riser.spec(),
                    riser.site(),
                    riser.model()
                );
            }
            told
        });
        refusal(told.map_err(Into::into));
    }
}

fn riser_of(from: &mut Bytes) -> Result<Riser, Error> {
    let m = Length::new::<meter>;
    let number = Ratio::new::<ratio>;
    let dimensions = Dimensions {
        bore: m(from.magnitude(1e-3, 3.0)),
        submergence: m(from.magnitude(0.01, 100.0)),
        lift: m(from.number(-1.0, 1.0) * from.magnitude(0.01, 100.0)),
    };
    let mut spec = RiserSpec::new(dimensions)
        .with_roughness(m(from.magnitude(1e-7, 1e-3)))
        .with_suction_length(m(from.number(0.0, 20.0)))
        .with_entrance_loss(number(from.number(0.0, 20.0)));
    if from.byte().is_multiple_of(4) {
        spec = spec.with_lost_bore(m(from.magnitude(1e-5, 0.1)));
    }
    if from.byte().is_multiple_of(4) {
        spec = spec.with_air_line(m(from.magnitude(1e-3, 1.0)));
    }
    spec.injector_loss = number(from.number(0.0, 20.0));
    let loss = number(from.number(0.0, 20.0));
    spec = spec.with_outlet(match from.byte() % 4 {
        0 => Outlet::Plain { loss },
        1 => Outlet::Elbow {
            loss,
            bore: (from.byte().is_multiple_of(2)).then(|| m(from.magnitude(1e-3, 3.0))),
            head: from.one(&[BrinkHead::Mixture, BrinkHead::ClearWater]),
        },
        2 => Outlet::Submerged {
            depth: m(from.number(0.0, 2.0)),
            loss,
        },
        _ => Outlet::OpenTop {
            head: m(from.number(0.0, 0.5)),
            loss,
        },
    });
    let water = Water::new(
        ThermodynamicTemperature::new::<degree_celsius>(from.number(0.0, 40.0)),
        Ratio::new::<per_mille>(from.number(0.0, 42.0)),
    )?;
    let atmosphere = AbsolutePressure::new::<pascal>(from.number(30e3, 120e3));
    let mut model = Model::new(from.one(Slip::ALL), from.one(Friction::ALL));
    if from.byte().is_multiple_of(2) {
        model = model.with_developing_length(number(from.number(0.0, 30.0)));
    }
    spec.build(&Site { water, atmosphere }, model)
}

fn solved(judge: &Judge, riser: &Riser, from: &mut Bytes) -> Result<(), Error> {
    // From a trace to far more than any riser takes, by the gas velocity that it comes to.
    let bore = riser.spec().dimensions.bore.value;
    let air = VolumeRate::new::<cubic_meter_per_second>(from.magnitude(1e-7, 1e3) * bore * bore);
    let air = AirFlow::at(air, &AirState::DRY_20_C)?;
    let outcome = riser.operate(air)?;
    judge.text(&format!(
        "{outcome:?} {outcome} {:?}",
        riser.cautions(&outcome)
    ));
    assert!(outcome.water_flow().value >= 0.0, "{outcome:?}");
    if let Some(point) = outcome.point() {
        pays(riser, point, judge);
    }
    judge.text(&format!(
        "{:?} {:?}",
        riser.threshold()?,
        riser.lift_at_zero_flow(air)?
    ));
    let peak = match riser.peak() {
        Err(Error::LiftOutOfReach { .. }) => return Ok(()),
        peak => peak?,
    };
    judge.text(&format!("{peak:?}"));
    pays(riser, &peak, judge);
    judge.text(&format!("{:?}", riser.best_efficiency()?));
    let wanted = peak.water_flow * from.number(0.0, 1.0).abs();
    let found = match riser.air_for(wanted) {
        Ok(found) => found,
        Err(error @ Error::NotConverged { .. }) => return Err(error),
        Err(error) => {
            refusal(Err(error.into()));
            return Ok(());
        }
    };
    judge.text(&format!("{found:?}"));
    let again = riser.operate(found.air)?.water_flow();
    let apart = (again - wanted).abs() / peak.water_flow;
    // A nanometer a second counts as no flow, and as no difference: in wide pipe the last digit of the pressure moves it.
    let nothing = (again - wanted).abs().value.min(wanted.value) < 1e-9 * bore * bore;
    assert!(
        apart.value < 1e-6 || nothing,
        "{wanted:?} wanted, {again:?} found, peak {peak:?}, {riser:?}"
    );
    Ok(())
}

/// That the parts of the budget come to the submergence.
fn pays(riser: &Riser, point: &OperatingPoint, judge: &Judge) {
    let budget = riser.budget(point);
    judge.text(&format!("{budget:?} {point:?}"));
    let submergence = riser.spec().dimensions.submergence;
    let apart = (budget.submergence() - submergence).abs() / submergence;
    assert!(
        apart.value < 1e-6,
        "{budget:?} of {submergence:?}: {riser:?} at {point:?}"
    );
}
