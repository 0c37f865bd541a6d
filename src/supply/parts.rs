//! What to buy: pipe by the metre, fittings, orifices, valves, blowers.

use std::sync::Arc;

use super::blower::Specification;
use super::injector::Injector;
use super::plant::Plant;
use super::run::PipeRun;
use super::whole::{PLASTIC_WARM_C, SolvedSupply, Supply};
use crate::pipe::Pipe;
use crate::units::system::to_decimals;
use crate::units::{Length, ThermodynamicTemperature, UnitSystem, base, degree_celsius};

/// How far the bore of a pipe may be from the one wanted for it to be named in its place: our own choice.
const AS_WIDE: f64 = 0.02;

/// The runs of pipe of an air side.
#[derive(Debug, Clone, PartialEq)]
pub struct Piping {
    /// From the blower to the header.
    pub main: PipeRun,
    /// The header's pipe; its length is that from the first to the last tee or feed.
    pub header: PipeRun,
    /// From the header to each riser's injector, in the header's order.
    pub branches: Vec<PipeRun>,
    /// What each riser is made of, in the same order; none where no more than its bore is known.
    pub risers: Vec<Option<Arc<Pipe>>>,
}

impl Piping {
    /// The pipe of a riser, where more than its bore is known.
    #[must_use]
    pub fn riser(&self, n: usize) -> Option<&Pipe> {
        self.risers.get(n)?.as_deref()
    }
}

/// One line of a parts list.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Part {
    /// What it is.
    pub what: String,
    /// Where it goes.
    pub place: String,
    /// How many, for what is counted.
    pub count: Option<u32>,
    /// How long, for what is cut.
    pub length: Option<Length>,
}

impl Part {
    fn counted(what: impl Into<String>, place: impl Into<String>, count: u32) -> Self {
        Self {
            what: what.into(),
            place: place.into(),
            count: Some(count),
            length: None,
        }
    }

    fn cut(what: impl Into<String>, place: impl Into<String>, length: Length) -> Self {
        Self {
            what: what.into(),
            place: place.into(),
            count: None,
            length: Some(length),
        }
    }
}

/// Whether air is too hot for plastic pipe.
fn is_hot(air: ThermodynamicTemperature) -> bool {
    air.get::<degree_celsius>() > PLASTIC_WARM_C
}

impl Supply {
    /// The parts of the plant: alike ones in one line, and nothing that it does not know of; sizes are worded in a
    /// system of units.
    ///
    /// Pipe with air too hot for plastic is metal, or hose rated for it: the main line by the temperature at the
    /// blower's outlet, header and branches by that at the header.
    #[must_use]
    pub fn parts(&self, solved: &SolvedSupply, units: UnitSystem) -> Vec<Part> {
        let (plant, piping, duty) = (&self.plant, &self.piping, &solved.duty);
        let drilled = solved.drilled.as_ref();
        let (outlet, arrival) = (solved.outlet_temperature, solved.arrival_temperature);
        let hole_size =
            |hole: Length, metric| to_decimals(units, units.bore_unit(), hole.value, [metric, 4]);
        let mut parts = vec![blower(plant, &duty.specification, units)];
        let main = if is_hot(outlet) && !is_hot(arrival) {
            let warm = ThermodynamicTemperature::new::<degree_celsius>(PLASTIC_WARM_C);
            format!(
                "main line, up to where the air has cooled to {}",
                units.temperature_to(0, warm)
            )
        } else {
            "main line".to_owned()
        };
        let run = |parts: &mut Vec<Part>, one: &PipeRun, place: &str, air| {
            run(parts, one, place, air, units);
        };
        run(&mut parts, &piping.main, &main, outlet);
        run(&mut parts, &piping.header, "header", arrival);
        for branch in &piping.branches {
            run(&mut parts, branch, "branches", arrival);
        }
        let header = plant.manifold.header();
        let tees = u32::try_from(header.branches.len()).unwrap_or(u32::MAX);
        parts.push(Part::counted("tee, header to branch", "header", tees));
        let balanced = &duty.manifold.header().branches;
        for (n, branch) in balanced.iter().enumerate() {
            if let Some(orifice) = &branch.orifice {
                let drill = drilled.and_then(|drilled| drilled.drills.get(n).copied().flatten());
                let hole = drill.map_or_else(
                    || hole_size(orifice.diameter, 2),
                    |drill| drill.name.clone(),
                );
                let holes = if orifice.holes == 1 {
                    format!("orifice plate, hole {hole}")
                } else {
                    format!("orifice plate, {} holes {hole}", orifice.holes)
                };
                add(
                    &mut parts,
                    Part::counted(holes, "branches, at the header", 1),
                );
            }
        }
        for branch in balanced {
            if branch.check_valve > base(0.0) {
                let valve = format!(
                    "check valve, opening at {} or less",
                    to_decimals(
                        units,
                        units.pressure_unit(),
                        branch.check_valve.value,
                        [1, 2]
                    )
                );
                add(&mut parts, Part::counted(valve, "branches", 1));
            }
            add(
                &mut parts,
                Part::counted("valve, to close and open", "branches", 1),
            );
            let injector = match &branch.injector {
                Injector::OpenTube => "open end of the branch in the riser".to_owned(),
                Injector::DrilledRing(ring) => format!(
                    "injector ring, {} holes {}",
                    ring.holes,
                    hole_size(ring.diameter, 1)
                ),
                Injector::Diffuser(_) => "diffuser, as by its loss curve".to_owned(),
            };
            add(&mut parts, Part::counted(injector, "risers", 1));
        }
        self.riser_pipes(&mut parts, units);
        parts
    }
}

impl Supply {
    /// Each pipe of the risers in one line, with its shortest and longest piece.
    fn riser_pipes(&self, parts: &mut Vec<Part>, units: UnitSystem) {
        let mut pipes: Vec<(String, Vec<Length>)> = Vec::new();
        for (n, riser) in self.plant.manifold.risers().iter().enumerate() {
            let spec = riser.spec();
            let what = match self.piping.riser(n) {
                Some(pipe) => format!("riser pipe {}", pipe.trade_name(units)),
                None => format!("riser pipe, {}", of_bore(spec.dimensions.bore, units)),
            };
            match pipes.iter_mut().find(|(known, _)| *known == what) {
                Some((_, lengths)) => lengths.push(spec.length()),
                None => pipes.push((what, vec![spec.length()])),
            }
        }
        let say = |length: &Length| to_decimals(units, units.height_unit(), length.value, [2, 2]);
        for (what, mut lengths) in pipes {
            lengths.sort_by(|a, b| a.value.total_cmp(&b.value));
            let ends =
                [lengths.first(), lengths.last()].map(|end| end.map(&say).unwrap_or_default());
            let [shortest, longest] = ends;
            let each = if shortest == longest {
                shortest
            } else {
                format!("{shortest} to {longest}")
            };
            let place = format!(
                "risers, {each} from air inlet to outlet each, and what stands below the inlet"
            );
            parts.push(Part::cut(what, place, lengths.into_iter().sum()));
        }
    }
}

fn blower(plant: &Plant, duty: &Specification, units: UnitSystem) -> Part {
    let what = format!(
        "blower for {} at its inlet against {}",
        to_decimals(units, units.blower_unit(), duty.inlet_flow.value, [1, 1]),
        to_decimals(
            units,
            units.pressure_unit(),
            duty.pressure_rise.value,
            [2, 2]
        )
    );
    match &plant.blowers {
        Some(blowers) => Part::counted(
            "blower, as by its table",
            format!(
                "air side; {} running, {} standing by",
                blowers.running, blowers.standby
            ),
            blowers.running.saturating_add(blowers.standby),
        ),
        None => Part::counted(what, "air side", 1),
    }
}

fn run(
    parts: &mut Vec<Part>,
    run: &PipeRun,
    place: &str,
    air: ThermodynamicTemperature,
    units: UnitSystem,
) {
    let (pipe, name) = if is_hot(air) {
        // Every pipe of the catalogue is plastic, and what a pipe of the user's own is made of is not known.
        let bore = to_decimals(units, units.bore_unit(), run.bore.value, [1, 3]);
        let pipe = format!(
            "metal pipe, or hose rated for {}, bore {bore}",
            units.temperature_to(0, air)
        );
        (pipe, format!("metal pipe of bore {bore}"))
    } else {
        let what = run.pipe.as_ref().map(|pipe| pipe.trade_name(units));
        let what = what.unwrap_or_else(|| of_bore(run.bore, units));
        (format!("pipe {what}"), run.name(units))
    };
    add(parts, Part::cut(pipe, place, run.length));
    for (fitting, count) in &run.fittings {
        let what = format!("{}, for {name}", fitting.title());
        add(parts, Part::counted(what, place, *count));
    }
}

/// A bore, with a pipe of the catalogue that has it.
fn of_bore(bore: Length, units: UnitSystem) -> String {
    let say = |bore: Length| to_decimals(units, units.bore_unit(), bore.value, [1, 3]);
    let like = Pipe::nearest(bore, base(AS_WIDE));
    let like =
        like.map(|pipe| format!(", as of {} ({})", pipe.trade_name(units), say(pipe.bore())));
    format!("bore {}{}", say(bore), like.unwrap_or_default())
}

/// Adds a part to its like, or as a line of its own.
fn add(parts: &mut Vec<Part>, part: Part) {
    let like = parts
        .iter_mut()
        .find(|known| known.what == part.what && known.place == part.place);
    match like {
        Some(known) => {
            known.count = known
                .count
                .zip(part.count)
                .map(|(a, b)| a.saturating_add(b));
            known.length = known.length.zip(part.length).map(|(a, b)| a + b);
        }
        None => parts.push(part),
    }
}
