use risewater::design::{DesignFile, EXAMPLE};
use risewater::pipe::Pipe;
use risewater::riser::Riser;
use risewater::units::*;
use risewater::{AirState, Curve, ErrorLaw};

use super::assert_says;
use super::column::air;

fn example(set: &[&str]) -> Riser {
    let set: Vec<String> = set.iter().map(ToString::to_string).collect();
    DesignFile::parse_with(EXAMPLE, &set)
        .unwrap()
        .riser()
        .unwrap()
}

fn liters(flow: VolumeRate) -> f64 {
    flow.get::<liter_per_minute>()
}

fn needs(riser: &Riser, water: f64) -> f64 {
    let found = riser
        .air_for(VolumeRate::new::<liter_per_minute>(water))
        .unwrap();
    liters(found.air.volume_rate_at_20_c())
}

#[test]
fn the_answer() {
    let riser = example(&[]);
    let given = DesignFile::parse(EXAMPLE).unwrap().air().unwrap();
    let spec = riser.spec().dimensions;
    let pipe = Pipe::named("ASTM D1785 Sch 40 3 in").unwrap();
    assert_eq!(pipe.bore(), spec.bore);
    let words: Vec<f64> = pipe
        .name
        .split(' ')
        .filter_map(|word| word.parse().ok())
        .collect();
    let (schedule, size) = (words[0], words[1]);
    assert_says!(
        "A riser of 3 in pressure pipe stands 1.2 m deep and spills 0.15 m above the running level. It gets 120 L/min of",
        size,
        spec.submergence.get::<meter>(),
        spec.lift.get::<meter>(),
        liters(given.volume_rate_at_20_c())
    );
    assert_says!(
        "\"3 in\" pipe of schedule 40 has a bore of 77.27 mm",
        size,
        schedule,
        spec.bore.get::<millimeter>()
    );
    let found = riser.operate(given).unwrap();
    let efficiency = found.point().unwrap().efficiency.get::<percent>();
    assert_says!(
        "moves **253.6 L/min**, at an efficiency of **29.2 %**",
        liters(found.water_flow()),
        efficiency
    );
    let interval = ErrorLaw::default()
        .on(&riser)
        .unwrap()
        .predict(given)
        .unwrap()
        .interval
        .unwrap();
    let two = |end: VolumeRate| format!("{:.1e}", liters(end)).parse::<f64>().unwrap();
    assert_says!(
        "between 150 and 420 L/min four",
        two(interval.low),
        two(interval.high)
    );
}

#[test]
fn curve() {
    let curve = Curve::of(&example(&[]), 16).unwrap();
    let best = curve.best_efficiency.unwrap();
    let more = curve.peak.air.dry_mass_rate() / best.air.dry_mass_rate();
    let water = curve.peak.water_flow / best.water_flow;
    assert_says!(
        "takes **16.1 times the air** of best efficiency for **3.0 times the water**",
        more.get::<ratio>(),
        water.get::<ratio>()
    );
    let [starts, good, most] =
        [curve.threshold, best.air, curve.peak.air].map(|air| liters(air.volume_rate_at_20_c()));
    assert_says!(
        "threshold of 12 L/min of air the curve rises steeply, passes best efficiency at 46 L/min, flattens, and peaks at 734 L/min",
        starts,
        good,
        most
    );
}

#[test]
fn changes() {
    let given = 120.0;
    assert_says!("keep the air at 120 L/min", given);
    let row = |set: &str| {
        let riser = example(&[set]);
        let starts = riser.threshold().unwrap().unwrap().volume_rate_at_20_c();
        [
            liters(riser.operate(air(given)).unwrap().water_flow()),
            liters(starts),
        ]
    };
    let depth = |set: &str| example(&[set]).spec().dimensions.submergence.get::<meter>();
    let deeper = depth("riser.submergence=1.4 m") - depth("riser.lift=0.15 m");
    let wide = "riser.pipe=ASTM D1785 Sch 40 4 in";
    let salt = example(&["water.salinity=33 g/kg"])
        .site()
        .water
        .salinity()
        .get::<per_mille>();
    let ([a, b], [c, d], [e, f]) = (
        row("riser.lift=0.15 m"),
        row("riser.lift=0.30 m"),
        row("riser.submergence=1.4 m"),
    );
    assert_says!("none | **254** | **12**", a, b);
    assert_says!("twice the lift | **175** | **23**", c, d);
    assert_says!("0.2 m deeper | **281** | **11**", deeper, e, f);
    let ([a, b], [c, d], [e, f]) = (
        row(wide),
        row("riser.outlet=elbow"),
        row("water.salinity=33 g/kg"),
    );
    let inches: f64 = wide.rsplit(' ').nth(1).unwrap().parse().unwrap();
    assert_says!("4 in, a wider pipe | **315** | **25**", inches, a, b);
    assert_says!("horizontal pipe | **200** | **12**", c, d);
    assert_says!("33 g/kg of salt: sea water | **253** | **13**", salt, e, f);
    let little = 30.0;
    let [wide, narrow] = [example(&[wide]), example(&[])]
        .map(|riser| liters(riser.operate(air(little)).unwrap().water_flow()));
    assert_says!(
        "At 30 L/min of air it gives 25 L/min, and the narrower one gives 79 L/min",
        little,
        wide,
        narrow
    );
}

#[test]
fn figures_question() {
    let (depth, lift, given) = (1.1, 0.25, 120.0);
    let set = [
        format!("riser.submergence={depth} m"),
        format!("riser.lift={lift} m"),
    ];
    let lower = example(&[&set[0], &set[1]]);
    let water = |riser: &Riser| liters(riser.operate(air(given)).unwrap().water_flow());
    let (left, whole) = (water(&lower), water(&example(&[])));
    assert_says!(
        "With 1.1 m of submergence and 0.25 m of lift, 182.2 of the 253.6 L/min are left",
        depth,
        lift,
        left,
        whole
    );
    assert!((left / whole - 0.7).abs() < 0.03, "seven tenths");
    assert_says!(
        "takes 210 L/min of air in place of 120 L/min",
        needs(&lower, whole),
        given
    );
}

#[test]
fn desk() {
    let given = 120.0;
    assert_says!("with the air at 120 L/min. How", given);
    let lower = |down: f64| {
        let set = [
            format!("riser.submergence={} m", 1.2 - down),
            format!("riser.lift={} m", 0.15 + down),
        ];
        example(&[&set[0], &set[1]])
    };
    let water = |riser: &Riser| liters(riser.operate(air(given)).unwrap().water_flow());
    let whole = water(&lower(0.0));
    let (mut low, mut high) = (0.0, 0.4);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if water(&lower(middle)) > 0.5 * whole {
            low = middle;
        } else {
            high = middle;
        }
    }
    let down = lower(low);
    assert_says!(
        "level 0.188 m lower, 126.8 L/min are left. To lift 253.6 L/min from there takes 341 L/min of",
        low,
        water(&down),
        whole,
        needs(&down, whole)
    );
}

#[test]
fn exercises() {
    let riser = example(&[]);
    let wanted = 300.0;
    assert_says!("for 300 L/min of water, about", wanted);
    // Two rows of the printed curve.
    let ([a, p], [b, q]) = ([135.4_f64, 268.0], [218.0_f64, 320.0]);
    let flow_at = |l_min: f64| liters(riser.operate(air(l_min)).unwrap().water_flow());
    assert!((flow_at(a) - p).abs() < 0.1 && (flow_at(b) - q).abs() < 0.1);
    let read = a + (b - a) * (wanted - p) / (q - p);
    assert_says!(
        "has 268 L/min at 135 L/min of air and 320 L/min at 218 L/min. On the straight line between them 300 L/min of water need 186 L/min of",
        p,
        a,
        q,
        b,
        wanted,
        read
    );
    assert_says!(
        "--want \"300 L/min\"` says 179.7 L/min",
        wanted,
        needs(&riser, wanted)
    );

    let (given, counted) = (120.0, AirState::DRY_20_C);
    let (kelvin_of, warm) = (counted.temperature.get::<kelvin>(), 30.0);
    let (kpa, site) = (
        counted.pressure.get::<kilopascal>(),
        riser.site().atmosphere.get::<kilopascal>(),
    );
    let celsius = counted.temperature.get::<degree_celsius>();
    assert_says!(
        "counted at 20 °C and 101.325 kPa. The blower stands at 98.47 kPa and takes in air at 30 °C",
        celsius,
        kpa,
        site,
        warm
    );
    assert_says!("for the 120 L/min", given);
    let hot = warm + 273.15;
    let mass = air(given).dry_mass_rate().get::<kilogram_per_hour>();
    assert_says!(
        "$120 \\times 101.325/98.47 \\times 303.15/293.15 = 127.7$ L/min. The mass is the same, 8.67 kg/h",
        given,
        kpa,
        site,
        hot,
        kelvin_of,
        given * kpa / site * hot / kelvin_of,
        mass
    );

    let (wanted, down) = (250.0, 0.2);
    let low = example(&["riser.submergence=1.0 m", "riser.lift=0.35 m"]);
    let at_low = low.spec().dimensions;
    assert_says!("give 250 L/min at low water too, 0.2 m below", wanted, down);
    assert_says!("the air for 250 L/min with", wanted);
    assert!(
        (at_low.submergence + Length::new::<meter>(down) - riser.spec().dimensions.submergence)
            .get::<millimeter>()
            .abs()
            < 1e-6
    );
    let [depth, lift] = [at_low.submergence, at_low.lift].map(|length| length.get::<meter>());
    assert_says!("submergence is 1.0 m and the lift 0.35 m", depth, lift);
    assert_says!(
        "--want \"250 L/min\" --set \"riser.submergence=1.0 m\" --set \"riser.lift=0.35 m\"` says 350.8 L/min of",
        wanted,
        depth,
        lift,
        needs(&low, wanted)
    );
    assert_says!(
        "it takes 184.5 L/min. With the plain end at normal water it takes 116.5 L/min",
        needs(&example(&["riser.outlet=elbow"]), wanted),
        needs(&riser, wanted)
    );
}
