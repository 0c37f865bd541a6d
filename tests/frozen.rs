//! Our own results, frozen at 1e-10: not evidence of correctness.
//!
//! They show that a change which should not touch the numbers did not touch them. A change of a
//! closure, a constant or the solver's tolerance may move them: then look, and freeze again. What is
//! correct is held by the other tests.

use risewater::riser::{BrinkHead, Dimensions, Outlet, Site};
use risewater::sizing::{Duty, Task, depths, size};
use risewater::units::*;
use risewater::{AirFlow, AirState, Curve, Friction, Model, Pipe, Riser, RiserSpec, Slip, Water};

const RELATIVE: f64 = 1e-10;

fn meters(value: f64) -> Length {
    Length::new::<meter>(value)
}

fn site(celsius: f64, kilopascals: f64) -> Site {
    Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(celsius)).unwrap(),
        atmosphere: AbsolutePressure::new::<kilopascal>(kilopascals),
    }
}

fn riser(
    bore_mm: f64,
    submergence: f64,
    lift: f64,
    outlet: Outlet,
    model: Model,
    site: &Site,
) -> Riser {
    let bore = Length::new::<millimeter>(bore_mm);
    RiserSpec::new(Dimensions {
        bore,
        submergence: meters(submergence),
        lift: meters(lift),
    })
    .with_outlet(outlet)
    .build(site, model)
    .unwrap()
}

/// Names and values that left their frozen numbers.
#[derive(Default)]
struct Moved(Vec<String>);

impl Moved {
    fn check(&mut self, name: &str, got: f64, frozen: f64) {
        let off = (got / frozen - 1.0).abs();
        if off.is_nan() || off > RELATIVE {
            self.0.push(format!("{name}: {got:?}, frozen {frozen:?}"));
        }
    }

    fn end(self) {
        assert!(
            self.0.is_empty(),
            "{} moved:\n{}",
            self.0.len(),
            self.0.join("\n")
        );
    }
}

#[test]
#[allow(clippy::too_many_lines, reason = "a list")]
fn operating_points() {
    let loss = Ratio::new::<ratio>(1.0);
    let plain = Outlet::Plain {
        loss: Ratio::new::<ratio>(0.0),
    };
    let elbow = |head| Outlet::Elbow {
        loss,
        bore: None,
        head,
    };
    let own = Model::default();
    let developed = |slip, friction| {
        Model::new(slip, friction).with_developing_length(Ratio::new::<ratio>(0.0))
    };
    let (sea, high) = (site(14.0, 101.325), site(28.0, 80.0));
    // Bore mm, submergence m, lift m, outlet, model, site; air L/min (dry, 20 °C, 101.325 kPa); water L/min.
    let points = [
        (51.99, 1.0, 0.1, plain, own, &sea, 40.0, 97.364_289_867_380),
        (
            77.28,
            1.2,
            0.05,
            elbow(BrinkHead::Mixture),
            own,
            &sea,
            80.0,
            201.325_229_617_902,
        ),
        (
            77.28,
            1.2,
            0.05,
            elbow(BrinkHead::ClearWater),
            own,
            &sea,
            80.0,
            189.485_275_516_077,
        ),
        (
            101.6,
            2.0,
            0.3,
            Outlet::OpenTop {
                head: meters(0.02),
                loss,
            },
            own,
            &high,
            200.0,
            459.919_895_110_190,
        ),
        (
            101.6,
            2.0,
            -0.2,
            Outlet::Submerged {
                depth: meters(0.3),
                loss,
            },
            own,
            &high,
            200.0,
            540.167_950_404_695,
        ),
        (
            25.4,
            2.0,
            0.75,
            plain,
            developed(Slip::Nicklin1962, Friction::SlugBody),
            &sea,
            20.0,
            20.910_781_828_859,
        ),
        (
            19.0,
            0.8,
            0.4,
            plain,
            developed(Slip::Reinemann1990, Friction::SlugBody),
            &high,
            5.0,
            6.021_878_729_826,
        ),
        (
            150.0,
            3.0,
            0.2,
            plain,
            developed(Slip::KataokaIshii1987, Friction::Friedel1979),
            &sea,
            500.0,
            1_586.954_872_489_954,
        ),
        (
            76.2,
            1.5,
            0.05,
            plain,
            developed(Slip::Bubbly, Friction::Homogeneous),
            &sea,
            30.0,
            218.548_984_164_697,
        ),
        (
            100.0,
            30.0,
            12.0,
            plain,
            own,
            &sea,
            2000.0,
            977.243_098_864_754,
        ),
        (50.0, 1.0, -0.2, plain, own, &sea, 0.0, 173.041_520_459_294),
        (10.0, 40.0, 20.0, plain, own, &sea, 10.0, 2.409_988_840_986),
    ];
    let mut moved = Moved::default();
    for (n, (bore, submergence, lift, outlet, model, site, air, frozen)) in
        points.into_iter().enumerate()
    {
        let air = AirFlow::at(
            VolumeRate::new::<liter_per_minute>(air),
            &AirState::DRY_20_C,
        )
        .unwrap();
        let outcome = riser(bore, submergence, lift, outlet, model, site)
            .operate(air)
            .unwrap();
        moved.check(
            &format!("point {n}"),
            outcome.water_flow().get::<liter_per_minute>(),
            frozen,
        );
    }
    moved.end();
}

#[test]
fn a_curve() {
    let outlet = Outlet::Elbow {
        loss: Ratio::new::<ratio>(1.0),
        bore: None,
        head: BrinkHead::Mixture,
    };
    let riser = riser(
        51.99,
        1.5,
        0.3,
        outlet,
        Model::default(),
        &site(14.0, 101.325),
    );
    let curve = Curve::of(&riser, 10).unwrap();
    let best = curve.best_efficiency.unwrap();
    let mut moved = Moved::default();
    moved.check(
        "threshold",
        curve
            .threshold
            .volume_rate_at_20_c()
            .get::<liter_per_minute>(),
        7.324_438_246_911_806,
    );
    // Flat tops: their flow and efficiency are sharp, their air is not.
    moved.check(
        "best efficiency",
        best.efficiency.get::<percent>(),
        36.995_227_509_399,
    );
    moved.check(
        "peak",
        curve.peak.water_flow.get::<liter_per_minute>(),
        160.752_894_915_197,
    );
    moved.end();
}

#[test]
fn a_sizing() {
    let duty = Duty {
        water_flow: VolumeRate::new::<liter_per_minute>(300.0),
        lift: meters(0.15),
    };
    let shared = RiserSpec::new(Dimensions {
        bore: meters(0.05),
        submergence: meters(1.0),
        lift: meters(0.15),
    });
    let pipes = Pipe::of_standards(&["ASTM D1785 Sch 40"]).unwrap();
    let mut problem = Task::new(
        duty,
        site(14.0, 101.325),
        shared,
        pipes,
        depths(None, meters(1.5), Some(meters(0.5))).unwrap(),
    );
    problem.max_lifts = 4;
    let best = size(&problem).unwrap().designs.remove(0);
    assert_eq!(
        (best.pipe.name.as_str(), best.lifts, best.submergence),
        ("ASTM D1785 Sch 40 2-1/2 in", 4, meters(1.5))
    );
    let mut moved = Moved::default();
    moved.check(
        "air",
        best.air_flow_total_at_20_c().get::<liter_per_minute>(),
        81.447_824_372_199,
    );
    moved.check(
        "power",
        best.injection_power_total().get::<watt>(),
        18.102_637_685_047,
    );
    moved.end();
}
