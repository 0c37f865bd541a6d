//! Published numbers of risers of a hatchery's size against predictions and their 80 % intervals.
//!
//! The paper gives no temperature and does not say how the water left. Here it is 25 °C, and leaves at the level that
//! it came from, through an elbow that runs part-full or through a plain end; the pipe is 1.85 m long, so what is not
//! above the air is suction pipe.

use risewater::riser::{BrinkHead, Dimensions, Outlet, RiserSpec, Site};
use risewater::uncertainty::Doubt;
use risewater::units::{
    AbsolutePressure, Length, Ratio, ThermodynamicTemperature, VolumeRate, degree_celsius,
    liter_per_minute, meter, millimeter, ratio,
};
use risewater::{AirFlow, AirState, Model, Water};

use crate::table;

/// Standard normal deviate of an 80 % interval.
const Z: f64 = 1.2816;
const LENGTH_M: f64 = 1.85;
const BORES_MM: [f64; 3] = [76.0, 102.0, 152.0];
/// Least and most depth of the air below the discharge, m, and air, L/min.
const DEPTHS_M: [f64; 2] = [0.5, 0.8];
const AIRS_L_MIN: [f64; 2] = [71.0, 324.0];

fn plain() -> Outlet {
    Outlet::Plain {
        loss: Ratio::new::<ratio>(0.0),
    }
}

/// What exceeds one velocity head is charged alone: here nothing.
fn elbow() -> Outlet {
    Outlet::Elbow {
        loss: Ratio::new::<ratio>(0.0),
        bore: None,
        head: BrinkHead::Mixture,
    }
}

/// Predicted flow in L/min, and the standard deviation of ln(true/predicted).
fn predicted(outlet: Outlet, bore_mm: f64, depth_m: f64, air_l_min: f64) -> (f64, f64) {
    let site = Site {
        water: Water::fresh(ThermodynamicTemperature::new::<degree_celsius>(25.0)).unwrap(),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let riser = RiserSpec::new(Dimensions {
        bore: Length::new::<millimeter>(bore_mm),
        submergence: Length::new::<meter>(depth_m),
        lift: Length::new::<meter>(0.0),
    })
    .with_suction_length(Length::new::<meter>(LENGTH_M - depth_m))
    .with_outlet(outlet)
    .build(&site, Model::default())
    .unwrap();
    let air = VolumeRate::new::<liter_per_minute>(air_l_min);
    let outcome = riser
        .operate(AirFlow::at(air, &AirState::DRY_20_C).unwrap())
        .unwrap();
    let point = outcome.point().unwrap();
    let doubt = Doubt::of(&riser, point).unwrap();
    (point.water_flow.get::<liter_per_minute>(), doubt.standard())
}

/// The three pipes at the least air and depth, the one complete point, and the widest at the most.
fn all(outlet: Outlet) -> [(f64, f64); 5] {
    let [shallow, deep] = DEPTHS_M;
    let [least, most] = AIRS_L_MIN;
    let [narrow, middle, wide] = BORES_MM;
    [
        predicted(outlet, narrow, shallow, least),
        predicted(outlet, middle, shallow, least),
        predicted(outlet, wide, shallow, least),
        predicted(outlet, narrow, deep, least),
        predicted(outlet, wide, deep, most),
    ]
}

/// What an independent implementation printed: least and most of the three pipes, the complete point, the most of all.
#[test]
fn predictions_are_those_of_an_independent_implementation() {
    for (outlet, expected) in [
        (elbow(), [101, 122, 167, 606]),
        (plain(), [186, 522, 241, 1049]),
    ] {
        let [narrow, middle, wide, complete, most] = all(outlet).map(|(flow, _)| flow);
        let small = [narrow, middle, wide];
        let lowest = small.into_iter().fold(f64::INFINITY, f64::min);
        let highest = small.into_iter().fold(0.0, f64::max);
        let got = [lowest, highest, complete, most].map(|flow| format!("{flow:.0}"));
        assert_eq!(got, expected.map(|flow| flow.to_string()), "{outlet}");
    }
}

/// Its distance in standard deviations: -1.8 with a plain end, -1 with the elbow, as that implementation has it.
#[test]
fn the_complete_point() {
    for (outlet, expected) in [(plain(), "-1.8"), (elbow(), "-1")] {
        let (flow, standard) = all(outlet)[3];
        let away = (measured("measured point") / flow).ln() / standard;
        let decimals = expected.split('.').nth(1).map_or(0, str::len);
        assert_eq!(format!("{away:.decimals$}"), expected, "{outlet}");
    }
}

/// With the elbow the interval holds each of the three numbers, of whichever pipe the least was; with a plain end none.
/// The outlet decides.
#[test]
fn the_outlet_decides_what_the_interval_holds() {
    for (outlet, holds) in [(elbow(), true), (plain(), false)] {
        let [narrow, middle, wide, complete, most] = all(outlet);
        for (what, (flow, standard)) in [
            ("minimum of all runs", narrow),
            ("minimum of all runs", middle),
            ("minimum of all runs", wide),
            ("measured point", complete),
            ("maximum of all runs", most),
        ] {
            let [low, high] = [-Z, Z].map(|z| flow * (z * standard).exp());
            let water = measured(what);
            println!("{outlet}, {what}, {water}: {flow:.0}, {low:.0} to {high:.0} L/min");
            assert_eq!((low..high).contains(&water), holds, "{outlet}, {what}");
        }
    }
}

/// Water flow of a row in L/min.
fn measured(what: &str) -> f64 {
    let rows = table::rows("wurts_1994.csv");
    let row = rows.iter().find(|row| row.text("point_type") == what);
    row.unwrap().number("water_flow_l_min")
}
