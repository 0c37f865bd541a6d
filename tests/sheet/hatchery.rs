//! An invented hatchery: lifts of two kinds on one header, side-channel blowers that were never built.

use risewater::air::{AirFlow, AirState};
use risewater::pipe::Pipe;
use risewater::pipe::fittings::Fitting;
use risewater::riser::{BrinkHead, Dimensions, Outlet, Riser, RiserSpec, Site};
use risewater::supply::blower::{DEMO, Efficiency, Stated, parse_table};
use risewater::supply::drill::DrillSystem;
use risewater::supply::{
    Balancing, Blowers, Branch, Header, Injector, LEVEL_CHANGES_M, LossCurve, Manifold, Orifice,
    PipeRun, Piping, Plant, Stock, Supply, Tariff,
};
use risewater::units::*;
use risewater::{Model, Water};

pub fn m(value: f64) -> Length {
    Length::new::<meter>(value)
}

pub fn kpa(value: f64) -> Pressure {
    Pressure::new::<kilopascal>(value)
}

pub fn l_per_min(value: f64) -> AirFlow {
    AirFlow::at(
        VolumeRate::new::<liter_per_minute>(value),
        &AirState::DRY_20_C,
    )
    .unwrap()
}

fn celsius(value: f64) -> ThermodynamicTemperature {
    ThermodynamicTemperature::new::<degree_celsius>(value)
}

pub fn site() -> Site {
    Site {
        water: Water::fresh(celsius(14.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

fn riser(bore: f64, submergence: f64, lift: f64) -> Riser {
    RiserSpec::new(Dimensions {
        bore: m(bore),
        submergence: m(submergence),
        lift: m(lift),
    })
    .with_outlet(Outlet::Elbow {
        loss: Ratio::new::<ratio>(0.94),
        bore: None,
        head: BrinkHead::Mixture,
    })
    .build(&site(), Model::default())
    .unwrap()
}

/// What the lifts of one kind share.
struct Kind {
    riser: Riser,
    air: AirFlow,
    injector: Injector,
}

fn kinds() -> [Kind; 2] {
    let diffuser = vec![
        (l_per_min(10.0), kpa(1.5)),
        (l_per_min(60.0), kpa(2.5)),
        (l_per_min(120.0), kpa(4.0)),
    ];
    [
        Kind {
            riser: riser(0.0779, 1.2, 0.15),
            air: l_per_min(130.0),
            injector: Injector::DrilledRing(
                Orifice::new(Length::new::<millimeter>(2.0)).with_holes(24),
            ),
        },
        Kind {
            riser: riser(0.0525, 0.9, 0.1),
            air: l_per_min(65.0),
            injector: Injector::Diffuser(LossCurve::new(diffuser).unwrap()),
        },
    ]
}

/// As many lifts, every third one of the smaller kind, with as many blowers at work.
pub fn hatchery(lifts: u32, blowers: u32) -> Supply {
    let pipe = |name: &str| Pipe::named(name).unwrap();
    let spacing = 2.0;
    let length = spacing * f64::from(lifts);
    let all = l_per_min(110.0 * f64::from(lifts));
    let wide = if lifts > 20 { "6" } else { "3" };
    let sch_40 = |size: &str| pipe(&format!("ASTM D1785 Sch 40 {size} in"));
    let mut main = PipeRun::of_pipe(sch_40(wide), m(12.0));
    main.fittings.push((Fitting::Elbow90Threaded, 4));
    let header = PipeRun::of_pipe(sch_40(wide), m(length));
    let mut drop = PipeRun::of_pipe(sch_40("1/2"), m(2.6));
    drop.fittings.push((Fitting::Elbow90Threaded, 2));
    let kinds = kinds();
    let (mut branches, mut risers, mut design) = (vec![], vec![], vec![]);
    for n in 0..lifts {
        let kind = &kinds[usize::from(n % 3 == 2)];
        let mut line = drop.line(kind.air, celsius(30.0)).unwrap();
        line.loss += Ratio::new::<ratio>(2.0);
        let mut branch = Branch::new(
            format!("tank {}", n + 1),
            m(2.0 + spacing * f64::from(n)),
            line,
        )
        .with_injector(kind.injector.clone());
        branch.check_valve = kpa(0.3);
        branches.push(branch);
        risers.push(kind.riser);
        design.push(kind.air);
    }
    let header_line = header.line(all, celsius(30.0)).unwrap();
    Supply {
        plant: Plant {
            manifold: Manifold::new(Header::new(header_line, branches), risers).unwrap(),
            design,
            main: main.line(all, celsius(35.0)).unwrap(),
            outside: AirState {
                humidity: Ratio::new::<percent>(60.0),
                ..AirState::DRY_20_C
            },
            intake_loss: kpa(0.5),
            arrival: Some(celsius(30.0)),
            balancing: Some(Balancing {
                hole: Orifice::new(m(0.001)),
                least_loss: kpa(1.6),
                drills: Some(DrillSystem::Metric),
                tolerance: Ratio::new::<percent>(3.0),
            }),
            efficiency: Efficiency::ShaftAndMotor {
                shaft: Ratio::new::<percent>(45.0),
                motor: Ratio::new::<percent>(85.0),
            },
            rise_margin: Ratio::new::<percent>(10.0),
            blowers: (blowers > 0).then(|| Blowers {
                blower: parse_table(DEMO, &Stated::default()).unwrap(),
                running: blowers,
                standby: 1,
            }),
        },
        piping: Piping {
            main,
            header,
            branches: vec![drop; usize::try_from(lifts).unwrap()],
            risers: vec![None; usize::try_from(lifts).unwrap()],
        },
        tariff: Some(Tariff {
            price_per_kilowatt_hour: 0.22,
            currency: "EUR".to_owned(),
        }),
        stock: Some(Stock {
            density: MassDensity::new::<kilogram_per_cubic_meter>(60.0),
            oxygen_use: SpecificOxygenUse::new::<milligram_per_kilogram_hour>(300.0),
            oxygen: MassConcentration::new::<milligram_per_liter>(7.0),
            limit: MassConcentration::new::<milligram_per_liter>(3.0),
        }),
        blower_height: Some(m(1.0)),
        wanted_main_loss: None,
        level_changes: LEVEL_CHANGES_M.map(m).to_vec(),
    }
}
