use risewater::riser::{Dimensions, RiserSpec, Site};
use risewater::units::*;
use risewater::{Model, references};

use super::assert_says;
use super::column::water;

/// The lift of an abstract, with a bore that is our guess.
#[test]
fn a_lift_that_strips_carbon_dioxide() {
    let (celsius, bore, depth, wanted) = (15.0, 46.0, 0.95, 65.0);
    let site = Site {
        water: water(celsius),
        atmosphere: AbsolutePressure::STANDARD_ATMOSPHERE,
    };
    let air_over_water = |lift: f64| {
        let dimensions = Dimensions {
            bore: Length::new::<millimeter>(bore),
            submergence: Length::new::<meter>(depth),
            lift: Length::new::<meter>(lift),
        };
        let riser = RiserSpec::new(dimensions)
            .build(&site, Model::default())
            .unwrap();
        let point = riser
            .air_for(VolumeRate::new::<liter_per_minute>(wanted))
            .unwrap();
        (point.air.volume_rate_at_20_c() / point.water_flow).get::<ratio>()
    };
    let lifts = [0.11, 0.16, 0.25];
    let [low, middle, high] = lifts.map(air_over_water);
    let (outside, least, most, slow, fast) = (50.0, 0.3, 0.6, 60.0, 70.0);
    assert!(
        references::MORAN_2010
            .used_for
            .contains("at 60 to 70 L/min, 0.3 to 0.6")
    );
    assert_says!(
        "pipe of 50 mm outside diameter, air in 0.95 m below the surface, lifts of 0.11, 0.16 and 0.25 m, water at 15 °C",
        outside,
        depth,
        lifts[0],
        lifts[1],
        lifts[2],
        celsius
    );
    assert_says!(
        "least air, 0.3 to 0.6 L, at 60 to 70 L/min of water. If the 0.3 L belongs",
        least,
        most,
        slow,
        fast,
        least
    );
    assert_says!(
        "asked it for 65 L/min with a bore of 46 mm, our",
        wanted,
        bore
    );
    assert_says!(
        "| 0.11 | 0.41 | 0.3 | 0.16 | 0.56 | | 0.25 | 0.84 | 0.6",
        lifts[0],
        low,
        least,
        lifts[1],
        middle,
        lifts[2],
        high,
        most
    );
    assert!(low / least > 1.33 && low / least < 1.45 && high / most > 1.33 && high / most < 1.45);
    assert!(outside > bore && slow < wanted && fast > wanted);
    assert!(
        references::HEARN_2007
            .used_for
            .contains("of 102 to 203 mm did: 170 to 490 L/min")
    );
    let (little, much, narrow, wide) = (170.0, 490.0, 102.0, 203.0);
    assert_says!(
        "had 170 to 490 L/min from pipes of 102 to 203 mm",
        little,
        much,
        narrow,
        wide
    );
    assert!(little < much && narrow < wide);
}

#[test]
fn levels() {
    let levels = [0.5, 0.8, 0.95];
    let series = risewater::published::Rig::all()[0]
        .series(Model::default())
        .unwrap();
    let rest = risewater::published::Known::points(&series, 0)
        .unwrap()
        .rest;
    let held = levels.map(|level| rest.inside(level));
    assert!(held[0] < held[1] && held[1] <= held[2]);
    assert_says!(
        "Intervals of 50, 80 and 95 % hold",
        100.0 * levels[0],
        100.0 * levels[1],
        100.0 * levels[2]
    );
}
