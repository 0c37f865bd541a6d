//! Laws on 2,000 random plants: a header, up to twelve lifts, a regulator or blowers, as designed and as it stands.

use std::time::Instant;

use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use risewater::air::AirState;
use risewater::riser::{Dimensions, Riser, RiserSpec, Site};
use risewater::supply::blower::{Blower, Efficiency, Machine, RatedPoint, Rating};
use risewater::supply::{
    AirFeed, AirLine, Balancing, BlowerPlace, Blowers, Branch, BranchFlow, Existing, Header,
    Manifold, Orifice, PipeRun, Piping, Plant, Running, Vent,
};
use risewater::units::*;
use risewater::{AirFlow, Error, Model, Water};

use crate::draws::{kilograms, mass, meters};

const PLANTS: u64 = 2000;
const FEW_PLANTS: u64 = 20;
/// Plants that once found no balance: lifts on the brink of losing their air, and wide lines that look like a jump.
const ONCE_UNSETTLED: [u64; 6] = [1063, 1096, 1201, 1209, 1817, 1967];

/// Relative rounding of a balance of pressures that a solver met to 1e-10 of them.
const PRESSURES: f64 = 1e-9;

/// What ran.
#[derive(Debug, Default)]
struct Ran {
    plants: u32,
    lifts: u32,
    with_air: u32,
    /// Plants changed, and the air of their lifts compared.
    changes: u32,
    compared: u32,
    /// Changes that start a lift, or find one near its start.
    started: u32,
    designed: u32,
    operated: u32,
    standing: u32,
    refused: u32,
    /// Changes on which a lift that had air is left without, though nothing was taken from it: between the pressure that keeps
    /// a lift and the one that starts it both are states, and the turns from rest end in either. Open, too.
    lost: u32,
}

struct Draw(StdRng);

impl Draw {
    fn even(&mut self, low: f64, high: f64) -> f64 {
        self.0.random_range(low..high)
    }

    fn flip(&mut self) -> bool {
        self.0.random_range(0..2) == 1
    }

    fn riser(&mut self) -> Riser {
        let celsius = ThermodynamicTemperature::new::<degree_celsius>(self.even(5.0, 30.0));
        let site = Site {
            water: Water::fresh(celsius).unwrap(),
            atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
        };
        let submergence = self.even(0.5, 1.6);
        RiserSpec::new(Dimensions {
            bore: meters(self.even(0.03, 0.1)),
            submergence: meters(submergence),
            lift: meters(submergence * self.even(0.02, 0.35)),
        })
        .build(&site, Model::default())
        .unwrap()
    }

    fn branch(&mut self, n: u32, orifices: bool) -> Branch {
        let bore = self.even(0.008, 0.025);
        let line =
            AirLine::new(meters(bore), meters(self.even(1.0, 6.0)))
                .with_loss(Ratio::new::<ratio>(self.even(0.0, 5.0)));
        let mut branch = Branch::new(format!("lift {n}"), meters(self.even(0.0, 25.0)), line);
        if orifices && self.flip() {
            branch = branch.with_orifice(Orifice::new(meters(bore * self.even(0.15, 0.7))));
        }
        if self.flip() {
            branch.valve_loss = Ratio::new::<ratio>(self.even(0.0, 30.0));
        }
        if self.0.random_range(0..4) == 0 {
            branch.check_valve = Pressure::new::<pascal>(self.even(0.0, 1500.0));
        }
        branch
    }

    fn manifold(&mut self, orifices: bool) -> Manifold {
        let lifts = self.0.random_range(1..=12);
        let branches = (1..=lifts).map(|n| self.branch(n, orifices)).collect();
        let kinds = [self.riser(), self.riser()];
        let risers = (0..lifts)
            .map(|_| kinds[self.0.random_range(0..2)])
            .collect();
        let pipe = AirLine::new(meters(self.even(0.025, 0.1)), meters(0.0));
        let mut header =
            Header::new(pipe, branches).with_tee_run_loss(Ratio::new::<ratio>(self.even(0.0, 0.3)));
        if self.flip() {
            header = header.with_feed(meters(self.even(0.0, 25.0)));
        }
        Manifold::new(header, risers).unwrap()
    }

    /// A falling curve from a highest rise to a largest flow.
    fn blower(&mut self, lifts: usize) -> Blower {
        let (rise, flow) = (self.even(8.0, 40.0), self.even(2.0, 25.0) * lifts as f64);
        let point = |share: f64, of_flow: f64| RatedPoint {
            pressure_rise: Pressure::new::<kilopascal>(rise * share),
            inlet_flow: VolumeRate::new::<cubic_meter_per_hour>(flow * of_flow),
            power: None,
        };
        Blower::new(Rating {
            points: vec![
                point(1.0, 0.0),
                point(0.8, 0.35),
                point(0.4, 0.75),
                point(0.0, 1.0),
            ],
            conditions: AirState::DRY_20_C,
            machine: Machine::Dynamic,
            power_kind: None,
        })
        .unwrap()
    }
}

fn airs(running: &Running) -> Vec<f64> {
    running
        .split
        .branches
        .iter()
        .map(|branch| mass(branch.air))
        .collect()
}

/// Mass at the tees, pressures along the flow, and each riser by itself.
fn sound(manifold: &Manifold, running: &Running, ran: &mut Ran) {
    let (split, header) = (&running.split, manifold.header());
    let sum: f64 = airs(running).iter().sum();
    assert!(
        (sum - mass(split.air)).abs() <= 1e-14 * sum,
        "mass at the tees"
    );
    // Away from the feed on either side.
    let offset = |n: &usize| (header.branches[*n].distance - header.feed).value;
    let mut order: Vec<usize> = (0..header.branches.len()).collect();
    order.sort_by(|a, b| offset(a).abs().total_cmp(&offset(b).abs()));
    for side in [true, false] {
        let mut before = split.pressure.get::<pascal>();
        for n in order.iter().filter(|n| (offset(n) < 0.0) == side) {
            let tee = split.branches[*n].header_pressure.get::<pascal>();
            assert!(
                tee <= before * (1.0 + 1e-12),
                "pressure rises along the header: {before} {tee}"
            );
            before = tee;
        }
    }
    let at_rest = manifold.water_at_rest();
    for (n, branch) in split.branches.iter().enumerate() {
        ran.lifts += 1;
        let tee = branch.header_pressure.get::<pascal>();
        let losses = [
            branch.orifice_loss,
            branch.line_loss,
            branch.check_valve_loss,
            branch.injector_loss,
        ];
        assert!(losses.iter().all(|loss| loss.value >= 0.0), "{branch:?}");
        let own = &header.branches[n];
        if mass(branch.air) == 0.0 {
            let starts = at_rest[n].get::<pascal>() + own.check_valve.get::<pascal>();
            assert!(
                !own.open || tee <= starts * (1.0 + PRESSURES),
                "{tee} does not start {starts}"
            );
            continue;
        }
        ran.with_air += 1;
        let needed = losses
            .iter()
            .fold(branch.water_pressure, |sum, loss| sum + *loss);
        let off = needed.get::<pascal>() / tee - 1.0;
        assert!(
            off.abs() <= PRESSURES,
            "what the branch needs and what its tee has: {off:e}"
        );
        let alone = manifold.risers()[n].operate(branch.air).unwrap();
        assert_eq!(alone.water_flow(), running.lifts[n].water_flow());
        let at_foot = alone
            .point()
            .map_or(at_rest[n], |point| point.injection_pressure);
        let off = at_foot.get::<pascal>() / branch.water_pressure.get::<pascal>() - 1.0;
        assert!(off.abs() <= PRESSURES, "the riser's foot: {off:e}");
    }
}

/// How closely the air of a lift is known, relative: the turns of header and risers end where no foot moves by more than
/// 1e-10 of its pressure, and the header's pressure is as closely met. Line and orifice turn that into air by its share
/// of what they cost.
fn known(branch: &BranchFlow) -> f64 {
    let costs = (branch.orifice_loss + branch.line_loss).get::<pascal>();
    1e-9 + 4e-10 * branch.header_pressure.get::<pascal>() / costs
}

/// No lift but the left-out one has less air than before. A lift that starts needs less pressure than it took to start
/// it, and takes its air from the others: that is another law. So is that of a lift that bubbles without water, which is
/// on its way to start or to lose its air, and that of a lift near there, whose air rises while the pressure at its tee
/// falls, since the water that it moves relieves its foot.
fn none_has_less(what: &str, before: &Running, after: &Running, but: Option<usize>, ran: &mut Ran) {
    let air: Vec<[f64; 2]> = airs(before)
        .into_iter()
        .zip(airs(after))
        .map(|(old, new)| [old, new])
        .collect();
    let pumps = |running: &Running, n: usize| running.lifts[n].point().is_some();
    let starts = |n: usize| {
        let [old, new] = air[n];
        let bubbles = |running, air| air > 0.0 && !pumps(running, n);
        let tees = [before, after].map(|one| one.split.branches[n].header_pressure);
        let falling = new > old && tees[1] < tees[0];
        falling || old == 0.0 && new > 0.0 || bubbles(before, old) || bubbles(after, new)
    };
    if (0..air.len()).any(starts) {
        ran.started += 1;
        return;
    }
    if air
        .iter()
        .enumerate()
        .any(|(n, [old, new])| Some(n) != but && *old > 0.0 && *new == 0.0)
    {
        println!("{what}: a lift is left without air");
        ran.lost += 1;
        return;
    }
    ran.changes += 1;
    for (n, [old, new]) in air.iter().copied().enumerate() {
        if Some(n) != but && old > 0.0 {
            ran.compared += 1;
            let least = old * (1.0 - known(&before.split.branches[n]));
            assert!(
                new >= least,
                "{what}: lift {n} has {new:e} kg/s after {old:e}, {:e} less, known to {:e}",
                1.0 - new / old,
                known(&before.split.branches[n])
            );
        }
    }
}

fn changed(manifold: &Manifold, lift: usize, change: impl FnOnce(&mut Branch)) -> Manifold {
    let mut header = manifold.header().clone();
    change(&mut header.branches[lift]);
    manifold.with_header(header).unwrap()
}

/// A closed lift and a throttled one, on one feed.
fn changes(
    draw: &mut Draw,
    manifold: &Manifold,
    feed: &AirFeed,
    ran: &mut Ran,
) -> Result<Running, Error> {
    let before = manifold.run(feed)?;
    sound(manifold, &before, ran);
    let lifts = manifold.risers().len();
    let lift = draw.0.random_range(0..lifts);
    // Blowers on no lift at all are refused.
    if lifts > 1 {
        let closed = changed(manifold, lift, |branch| branch.open = false);
        let after = closed.run(feed)?;
        sound(&closed, &after, ran);
        none_has_less("a closed lift", &before, &after, Some(lift), ran);
    }
    let more = Ratio::new::<ratio>(draw.even(0.0, 40.0));
    let throttled = changed(manifold, lift, |branch| branch.valve_loss += more);
    let after = throttled.run(feed)?;
    sound(&throttled, &after, ran);
    none_has_less("a throttled lift", &before, &after, Some(lift), ran);
    let (old, new) = (airs(&before)[lift], airs(&after)[lift]);
    assert!(
        new <= old * (1.0 + known(&before.split.branches[lift])) || old == 0.0,
        "a throttled lift: {new:e} after {old:e}"
    );
    Ok(before)
}

fn regulated(draw: &mut Draw, manifold: &Manifold, ran: &mut Ran) -> Result<(), Error> {
    let kilopascals = 101.325 + draw.even(4.0, 30.0);
    let at = |kilopascals| AirFeed::Pressure(AbsolutePressure::new::<kilopascal>(kilopascals));
    let before = changes(draw, manifold, &at(kilopascals), ran)?;
    let after = manifold.run(&at(kilopascals + draw.even(0.0, 5.0)))?;
    sound(manifold, &after, ran);
    none_has_less("more pressure", &before, &after, None, ran);
    Ok(())
}

/// On blowers, and on faster ones; none where the plant asks for what the blowers' table does not have.
fn blown(draw: &mut Draw, manifold: &Manifold, ran: &mut Ran) -> Result<(), Error> {
    let one = draw
        .blower(manifold.risers().len())
        .at(&AirState::DRY_20_C)?;
    let curve = one.in_parallel(draw.0.random_range(1..=3))?;
    let main = AirLine::new(meters(draw.even(0.04, 0.1)), meters(draw.even(1.0, 30.0)));
    let feed = |curve| AirFeed::Blower {
        curve,
        main: &main,
        bleed: None,
    };
    let before = changes(draw, manifold, &feed(&curve), ran)?;
    let faster = curve.at_speed(Ratio::new::<ratio>(1.0 + draw.even(0.0, 0.2)))?;
    let after = manifold.run(&feed(&faster))?;
    sound(manifold, &after, ran);
    none_has_less("faster blowers", &before, &after, None, ran);
    ran.operated += 1;
    Ok(())
}

fn plant(draw: &mut Draw, manifold: Manifold, design: Vec<AirFlow>, balancing: bool) -> Plant {
    let lifts = manifold.risers().len();
    Plant {
        manifold,
        design,
        main: AirLine::new(meters(draw.even(0.04, 0.1)), meters(draw.even(1.0, 30.0))),
        outside: AirState::DRY_20_C,
        intake_loss: Pressure::new::<kilopascal>(draw.even(0.0, 2.0)),
        arrival: draw
            .flip()
            .then(|| ThermodynamicTemperature::new::<degree_celsius>(30.0)),
        balancing: balancing.then(|| Balancing {
            hole: Orifice::new(meters(0.001)),
            least_loss: Pressure::new::<kilopascal>(draw.even(0.5, 3.0)),
            drills: None,
            tolerance: Ratio::new::<ratio>(0.05),
        }),
        efficiency: Efficiency::WireToAir(Ratio::new::<ratio>(draw.even(0.2, 0.6))),
        rise_margin: Ratio::new::<ratio>(0.1),
        blowers: Some(Blowers {
            blower: draw.blower(lifts),
            running: draw.0.random_range(1..=3),
            standby: 0,
        }),
    }
}

/// Balanced by orifices, each lift has its design, and the blowers' curve meets the system's.
fn designed(draw: &mut Draw, ran: &mut Ran) -> Result<(), Error> {
    let manifold = draw.manifold(false);
    let mut design = Vec::new();
    for riser in manifold.risers() {
        let flow = riser.peak()?.water_flow * draw.even(0.2, 0.9);
        design.push(riser.air_for(flow)?.air);
    }
    let plant = plant(draw, manifold, design, true);
    let duty = plant.duty()?;
    let feed = AirFeed::Pressure(duty.header_pressure);
    let running = duty.manifold.run_on(&feed, &plant.design)?;
    sound(&duty.manifold, &running, ran);
    for (share, flow) in plant.shares(&running).iter().zip(&running.split.branches) {
        let off = (share.value - 1.0).abs();
        assert!(
            off <= known(flow),
            "{share:?} of the design, known to {:e}",
            known(flow)
        );
    }
    ran.designed += 1;
    let operation = plant
        .operation(&duty, &duty.manifold)?
        .expect("blowers are there");
    sound(&operation.manifold, &operation.unbled, ran);
    let split = &operation.unbled.split;
    let outlet = operation.main.inlet(split.air, split.pressure)?.inlet;
    let system = (outlet - duty.intake.pressure).get::<pascal>();
    let curve = operation.curve.rise(split.air)?.get::<pascal>();
    assert!(
        (system - curve).abs() <= PRESSURES * outlet.get::<pascal>(),
        "{system} {curve}"
    );
    assert!(operation.surplus.is_none() || operation.shortfall.is_none());
    Ok(())
}

/// What the lifts get and what is bled is what the blowers give at their rise.
fn standing(draw: &mut Draw, ran: &mut Ran) -> Result<(), Error> {
    let manifold = draw.manifold(true);
    let lifts = manifold.risers().len();
    let branches = &manifold.header().branches;
    let lines = branches
        .iter()
        .map(|branch| PipeRun::new(branch.line.bore, branch.line.length));
    let main = PipeRun::new(meters(0.05), meters(5.0));
    let piping = Piping {
        main: main.clone(),
        header: main,
        branches: lines.collect(),
        risers: vec![None; lifts],
    };
    let plant = plant(draw, manifold, vec![kilograms(0.0); lifts], false);
    let mut existing = Existing::new(plant, piping);
    existing.vent = match draw.0.random_range(0..3) {
        0 => None,
        1 => Some(Vent::Hole(Orifice::new(meters(draw.even(0.002, 0.01))))),
        _ => Some(Vent::Share(Ratio::new::<ratio>(draw.even(0.0, 0.6)))),
    };
    let steady = existing.steady()?;
    sound(&steady.manifold, &steady.running, ran);
    let given = mass(steady.running.split.air) + mass(steady.bled);
    assert!(
        (given - mass(steady.blown)).abs() <= 1e-9 * given,
        "{given} of {:?}",
        steady.blown
    );
    if steady.place == Some(BlowerPlace::OnTable) {
        let curve = steady.curve.as_ref().expect("a table");
        let off = (curve.rise(steady.blown)? - steady.rise)
            .get::<pascal>()
            .abs();
        assert!(
            off <= PRESSURES * steady.running.split.pressure.get::<pascal>(),
            "{off} Pa beside the curve"
        );
    }
    ran.standing += 1;
    Ok(())
}

#[test]
fn plants_keep_mass_and_order() {
    let seeds: Vec<u64> = if crate::full() {
        (0..PLANTS).collect()
    } else {
        (0..FEW_PLANTS).chain(ONCE_UNSETTLED).collect()
    };
    let plants = seeds.len() as u64;
    let (mut ran, start) = (Ran::default(), Instant::now());
    let mut failed = Vec::new();
    for seed in seeds {
        let one = std::panic::catch_unwind(|| {
            let (mut draw, mut ran) = (Draw(StdRng::seed_from_u64(seed)), Ran::default());
            let manifold = draw.manifold(true);
            let parts = [
                regulated(&mut draw, &manifold, &mut ran),
                blown(&mut draw, &manifold, &mut ran),
                designed(&mut draw, &mut ran),
                standing(&mut draw, &mut ran),
            ];
            (ran, parts)
        });
        let Ok((own, parts)) = one else {
            println!("plant {seed} fails");
            failed.push(seed);
            continue;
        };
        ran.plants += 1;
        for (sum, part) in [
            (&mut ran.lifts, own.lifts),
            (&mut ran.with_air, own.with_air),
            (&mut ran.changes, own.changes),
            (&mut ran.compared, own.compared),
            (&mut ran.started, own.started),
            (&mut ran.lost, own.lost),
            (&mut ran.designed, own.designed),
            (&mut ran.operated, own.operated),
            (&mut ran.standing, own.standing),
        ] {
            *sum += part;
        }
        for error in parts.into_iter().filter_map(Result::err) {
            if matches!(error, Error::NotConverged { .. }) {
                println!("plant {seed}: {error}");
                failed.push(seed);
            }
            ran.refused += 1;
        }
    }
    println!("{ran:?}, {:.1} s", start.elapsed().as_secs_f64());
    assert!(failed.is_empty(), "plants {failed:?}");
    assert_eq!(u64::from(ran.plants), plants);
    // Each plant has four parts and seven changes at most: most of them must tell something.
    assert!(
        u64::from(ran.changes) >= 3 * plants,
        "too few changes compared"
    );
    assert!(u64::from(ran.designed.min(ran.operated).min(ran.standing)) >= plants * 3 / 4);
    assert!(
        u64::from(ran.lost) <= plants / 500,
        "too many lifts lose their air"
    );
}
