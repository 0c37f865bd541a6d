use risewater::design::DesignFile;
use risewater::trial::{
    AGREEMENT, Agreement, Comparison, DEMO, DEMO_RIG, Fit, Instruments, Matching, PredictedRuns,
    Verdict, doubts, parse_runs, reduce,
};
use risewater::units::*;
use risewater::{AirState, Calibration, ErrorLaw};

use super::assert_says;
use super::column::water;

#[test]
fn plan() {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let plan = bench.plan().unwrap();
    assert_eq!(plan.runs.len(), 9);
    let level = plan.runs[0].level.unwrap();
    let (caught, fall) = (
        bench.container.unwrap().get::<liter>(),
        level.fall.get::<millimeter>(),
    );
    let area = bench.tank_area.unwrap().get::<square_meter>();
    assert_says!(
        "Drawing 40 L from a tank of 1.5 m² lowers its level by 27 mm",
        caught,
        area,
        fall
    );
    let cell = quantity::volume("1500 mL").unwrap();
    assert_says!("such as `1500 mL`. A", cell.get::<milliliter>());
    let sheet = "submergence_m,lift_m,water_volume_L,water_time_1_s,water_repeatability_s,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa\n0.8,0.1,12,1:05,0.3,20,dry_20_c,16,98.4\n";
    let risewater::trial::WaterReading::Timed(timed) = &parse_runs(sheet).unwrap()[0].water else {
        panic!("no fill")
    };
    let seconds = timed.times[0].get::<second>();
    assert_eq!(
        format!(
            "such as {:.0}:{:02.0}. A running",
            (seconds / 60.0).floor(),
            seconds % 60.0
        ),
        "such as 1:05. A running"
    );
}

#[test]
fn slips_are_told() {
    let slips = DEMO.replace("R02,ring,0.7,0.1,40,", "R02,ring,0.7,10,40000,");
    let found = doubts(&parse_runs(&slips).unwrap(), None).unwrap();
    let said: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert!(
        said[0].contains("was it 10 cm? Then write \"10 cm\""),
        "{said:?}"
    );
    assert!(
        said[1].contains("by the other runs it is 40 kg: was it 40000 g?"),
        "{said:?}"
    );
    let wrong = DEMO
        .replace("R01,ring,0.7,", "R01,ring,-0.7,")
        .replace("R02,ring,0.7,0.1,40,", "R02,ring,0.7,0.1,40 L,");
    let said = parse_runs(&wrong).unwrap_err().to_string();
    let lines: Vec<&str> = said.lines().collect();
    assert!(
        lines[0]
            .starts_with("line 14, submergence_m \"-0.7\": submergence is -0.7 m; it must lie in"),
        "{said}"
    );
    assert!(
        lines[1].starts_with("line 15, water_mass_kg \"40 L\": L is a unit of volume, not of mass"),
        "{said}"
    );
}

#[test]
fn verdicts() {
    let made: Vec<&str> = DEMO
        .lines()
        .filter_map(|line| line.strip_prefix("# "))
        .collect();
    let made = made.join(" ");
    let before = |end: &str| {
        made.split(end)
            .next()
            .and_then(|text| text.rsplit(' ').next()?.parse::<f64>().ok())
            .unwrap()
    };
    let (ring, diffuser, scatter) = (
        before(" (ring)"),
        before(" (diffuser)"),
        before(" % from run to run"),
    );
    assert_says!(
        "times 0.92 (ring) or 0.97 (diffuser), times a scatter of 2 % from",
        ring,
        diffuser,
        scatter
    );
    assert_says!("does give 5 % more", 100.0 * (diffuser / ring - 1.0));
    assert_says!("made with 0.97 of the prediction. `trial", diffuser);
    assert_says!(
        "lie within 10 % either way. The bound of 10 % is our",
        100.0 * AGREEMENT,
        100.0 * AGREEMENT
    );

    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let runs = reduce(&parse_runs(DEMO).unwrap(), &bench.instruments).unwrap();
    let predicted = PredictedRuns::of(&runs, bench.model, |_| bench.spec).unwrap();
    let overall = Agreement::of(&predicted).unwrap().overall.unwrap();
    // Nine runs with the ring and three with the diffuser, in the mean of logarithms.
    assert!((overall.bias.value - 0.073).abs() < 0.03);
    assert_eq!(overall.verdict, Verdict::Differs);
    let pairs = Comparison::of(&predicted, ["ring", "diffuser"], Matching::default()).unwrap();
    let (low, high) = pairs.interval.unwrap();
    assert!(low.value < diffuser / ring - 1.0 && high.value > diffuser / ring - 1.0);

    let three: Vec<_> = runs
        .iter()
        .filter(|run| run.configuration == "diffuser")
        .cloned()
        .collect();
    let trial = Calibration::of_runs(&three, &bench.spec).unwrap();
    let fit = Fit::of(trial, bench.model, &ErrorLaw::default(), None).unwrap();
    let change = fit.change.unwrap().value;
    assert!((change / diffuser - 1.0).abs() < 0.02);
    let of_three = PredictedRuns::of(&three, bench.model, |_| bench.spec).unwrap();
    let above = Agreement::of(&of_three)
        .unwrap()
        .overall
        .unwrap()
        .bias
        .value;
    assert!(
        (above + 1.0 - 1.0 / change).abs() < 0.002,
        "{above} {change}"
    );
    assert_says!(
        "as theory +3.8 %: theory is 3.8 % above the readings, so the readings are 3.7 % below theory",
        100.0 * above,
        100.0 * above,
        100.0 * (1.0 - change)
    );
}

/// How well readings count: of one time, and of three that agree.
#[test]
fn readings() {
    let bench = DesignFile::parse(DEMO_RIG).unwrap().bench().unwrap();
    let noise = |times: &str, cells: &str| {
        let head = "submergence_m,lift_m,water_volume_L,air_flow_L_per_min,air_reference,water_temperature_degC,barometer_kPa,";
        let sheet = [
            head,
            times,
            "\n0.95,0.1,40,32,dry_20_c,14.5,99.2,",
            cells,
            "\n",
        ]
        .concat();
        let runs = reduce(&parse_runs(&sheet).unwrap(), &Instruments::default()).unwrap();
        let trial = Calibration::of_runs(&runs, &bench.spec).unwrap();
        let riser = trial.riser_of(&trial.points()[0], bench.model).unwrap();
        let known = ErrorLaw::default()
            .with_calibration(trial)
            .on(&riser)
            .unwrap();
        100.0 * known.points().readings()[0].noise
    };
    let one = noise("water_time_1_s,water_repeatability_s", "29,0");
    let three = noise("water_time_1_s,water_time_2_s,water_time_3_s", "29,29,29");
    assert_says!("as good to 3 % at best", one);
    assert_says!(
        "in place of the 3 %, but never as less than 1 %",
        one,
        three
    );
}

#[test]
fn exercises() {
    let (drum, minutes) = (40.0, 60.0);
    let [a, b, c] = [26.3, 26.0, 26.9];
    let mean = (a + b + c) / 3.0;
    let flow = drum / mean * minutes;
    assert_says!(
        "of 40 L fills in 26.3 s, 26.0 s and 26.9 s. Which",
        drum,
        a,
        b,
        c
    );
    assert_says!(
        "is 26.4 s, so the flow is $40/26.4 \\times 60 = 90.9$ L/min",
        mean,
        drum,
        mean,
        minutes,
        flow
    );

    let (late, bucket, wanted) = (0.3, 10.0, 1.0);
    let short = mean * bucket / drum;
    let long = 100.0 * late / wanted;
    assert_says!(
        "early by 0.3 s. How large is the error of the flow, in per cent, with the drum of 40 L, and how large with a bucket of 10 L? How long must a fill take for 1 %",
        late,
        drum,
        bucket,
        wanted
    );
    assert_says!(
        "$0.3/26.4 = 1.1$ %. The bucket fills in 6.6 s, so $0.3/6.6 = 4.5$ %. For 1 % a fill must take 30 s. With this flow that is a vessel of 45 L",
        late,
        mean,
        100.0 * late / mean,
        short,
        late,
        short,
        100.0 * late / short,
        wanted,
        long,
        flow * long / minutes
    );

    let (bottle, time, celsius, barometer) = (8.0, 14.7, 14.5, 99.2);
    let vapour = water(celsius).vapour_pressure().get::<kilopascal>();
    let counted = AirState::DRY_20_C;
    let (to, kpa, warm) = (
        counted.temperature.get::<kelvin>(),
        counted.pressure.get::<kilopascal>(),
        counted.temperature.get::<degree_celsius>(),
    );
    assert_says!(
        "of 8 L fills with air in 14.7 s. The water and the bottle have 14.5 °C, where water vapour has 1.65 kPa. The barometer stands at 99.2 kPa",
        bottle,
        time,
        celsius,
        vapour,
        barometer
    );
    assert_says!("dry at 20 °C and 101.325 kPa? What", warm, kpa);
    let moist = bottle / time * minutes;
    let kelvins = celsius + 273.15;
    let dry = |vapour: f64| moist * (barometer - vapour) / kpa * to / kelvins;
    assert_says!(
        "$8/14.7 \\times 60 = 32.65$ L/min",
        bottle,
        time,
        minutes,
        moist
    );
    assert_says!(
        "$32.65 \\times (99.2 - 1.65)/101.325 \\times 293.15/287.65 = 32.0$ L/min. Without the vapour it would be 32.6 L/min, 1.7 % too",
        moist,
        barometer,
        vapour,
        kpa,
        to,
        kelvins,
        dry(vapour),
        dry(0.0),
        100.0 * (dry(0.0) / dry(vapour) - 1.0)
    );
}
