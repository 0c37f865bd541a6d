//! How sure a flow is: which kind of spread a riser gets, and what it holds.

use risewater::published::{LOWEST_SHARE_OF_PEAK, Rig};
use risewater::riser::{BrinkHead, Dimensions, Outlet, Site};
use risewater::spread::{SHARE, SpreadKind};
use risewater::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate, degree_celsius,
    liter_per_minute, meter, millimeter, per_mille, ratio,
};
use risewater::{AirFlow, AirState, Evidence, Model, Riser, RiserSpec, Spread, Water};

fn site(salinity_g_per_kg: f64) -> Site {
    let temperature = ThermodynamicTemperature::new::<degree_celsius>(20.0);
    Site {
        water: Water::new(temperature, Ratio::new::<per_mille>(salinity_g_per_kg)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    }
}

fn spec(bore_mm: f64, submergence_m: f64, lift_m: f64) -> RiserSpec {
    RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: Length::new::<meter>(submergence_m),
        lift: Length::new::<meter>(lift_m),
    })
}

fn air(l_per_min: f64) -> AirFlow {
    AirFlow::at(
        VolumeRate::new::<liter_per_minute>(l_per_min),
        &AirState::DRY_20_C,
    )
    .unwrap()
}

fn kind(riser: &Riser, l_per_min: f64) -> SpreadKind {
    let spread = Spread::of(riser, air(l_per_min), &Evidence::on(riser.model())).unwrap();
    let flow = riser.operate(air(l_per_min)).unwrap().water_flow();
    if let SpreadKind::Scenario { .. } = spread.kind {
        assert!(
            spread.low <= flow && flow <= spread.high,
            "a scenario holds the riser's own settings"
        );
    }
    spread.kind
}

#[test]
fn a_riser_like_the_published_ones_gets_their_residuals() {
    // 25.4 mm and 3 m: within bores, lengths and submergence ratios of the data.
    let riser = spec(25.4, 2.0, 1.0)
        .build(&site(0.0), Model::default())
        .unwrap();
    assert!(
        matches!(kind(&riser, 40.0), SpreadKind::PublishedResiduals { points } if points >= 20)
    );
}

#[test]
fn everything_else_is_a_scenario() {
    let like = spec(25.4, 2.0, 1.0);
    let elbow = Outlet::Elbow {
        loss: Ratio::new::<ratio>(0.9),
        bore: None,
        head: BrinkHead::Mixture,
    };
    let variants = |spec: RiserSpec, salinity, l_per_min| {
        let riser = spec.build(&site(salinity), Model::default()).unwrap();
        match kind(&riser, l_per_min) {
            SpreadKind::Scenario { variants } => variants,
            other => panic!("{other:?} for {spec:?}"),
        }
    };
    // The riser itself, three developing lengths, two entrance losses; both readings of the brink.
    assert_eq!(
        variants(spec(76.2, 1.2, 0.15), 0.0, 120.0),
        7,
        "a short riser"
    );
    assert_eq!(
        variants(spec(76.2, 1.2, 0.15).with_outlet(elbow), 0.0, 120.0),
        13,
        "an elbow"
    );
    assert_eq!(
        variants(spec(20.0, 2.0, 1.0), 0.0, 40.0),
        7,
        "a bore below the data"
    );
    assert_eq!(
        variants(spec(25.4, 1.0, 2.0), 0.0, 60.0),
        7,
        "too little submergence"
    );
    assert_eq!(
        variants(
            like.with_air_line(Length::new::<millimeter>(8.0)),
            0.0,
            40.0
        ),
        7,
        "an air line inside"
    );
    assert_eq!(variants(like, 35.0, 40.0), 7, "sea water");
    // Low on the curve, where the rows were left out.
    let riser = like.build(&site(0.0), Model::default()).unwrap();
    let low = riser.peak().unwrap().water_flow * (0.5 * LOWEST_SHARE_OF_PEAK);
    let point = riser.air_for(low).unwrap();
    let spread = Spread::of(&riser, point.air, &Evidence::on(riser.model())).unwrap();
    assert!(
        matches!(spread.kind, SpreadKind::Scenario { .. }),
        "low on the curve"
    );
}

#[test]
fn the_residuals_belong_to_the_model_asked_about() {
    let riser = spec(25.4, 2.0, 1.0)
        .build(&site(0.0), Model::default())
        .unwrap();
    let other = Model::default().with_developing_length(Ratio::new::<ratio>(0.0));
    let spread = Spread::of(&riser, air(40.0), &Evidence::on(other)).unwrap();
    assert!(
        matches!(spread.kind, SpreadKind::Scenario { .. }),
        "evidence on another model is no evidence"
    );
    let own = Spread::of(
        &riser.with_model(other).unwrap(),
        air(40.0),
        &Evidence::on(other),
    )
    .unwrap();
    assert!(matches!(own.kind, SpreadKind::PublishedResiduals { .. }));
}

/// Over each rig's own points the interval must hold the share that it claims, give or take: classes
/// join several rigs and series, and the points of one series are not independent.
#[test]
fn the_interval_holds_the_measured_points() {
    let model = Model::default();
    let evidence = Evidence::on(model);
    let (mut inside, mut all) = (0u32, 0u32);
    for rig in Rig::all() {
        for point in &rig.points {
            let dimensions = Dimensions {
                bore: rig.bore,
                submergence: point.submergence,
                lift: point.lift,
            };
            let riser = RiserSpec::new(dimensions)
                .with_roughness(rig.roughness)
                .build(&site(0.0), model)
                .unwrap();
            let spread = Spread::of(&riser, point.air, &evidence).unwrap();
            if let SpreadKind::PublishedResiduals { .. } = spread.kind {
                all += 1;
                inside +=
                    u32::from(spread.low <= point.water_flow && point.water_flow <= spread.high);
            }
        }
    }
    let share = f64::from(inside) / f64::from(all);
    println!("{inside} of {all} points inside");
    // Points that the model predicts below 30 % of the peak, or not to pump, get a scenario: a few.
    assert!(all > 400, "{all}");
    assert!((share - SHARE).abs() < 0.05, "{share}");
}
