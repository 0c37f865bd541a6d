use risewater::trial::{parse_runs, reduce};
use risewater::{Calibration, ErrorLaw};
use statrs::distribution::{ContinuousCDF, StudentsT};

use super::*;

const RIG: &str = "case-bench-trial.in/rig.toml";
const SHEET: &str = "case-bench-trial.in/bench.csv";

/// Of the givens: kg/m³, kg.
const WATER: f64 = 998.78;
const AIR: f64 = 1.2;
const WEIGHTS: f64 = 8000.0;
const DRUM: f64 = 20.0;
const BALANCE: f64 = 0.05;
const HAND: f64 = 0.1;
const BAROMETER: f64 = 99.7;

/// A fill by the page's steps: times in s; flow in L/min; scatter, balance, hand, together, in per cent.
struct Fill {
    mean: f64,
    deviation: f64,
    flow: f64,
    scatter: f64,
    balance: f64,
    hand: f64,
    sum: f64,
}

fn bracket() -> f64 {
    1.0 + AIR / WATER - AIR / WEIGHTS
}

fn fill(times: [f64; 3]) -> Fill {
    let mean = times.iter().sum::<f64>() / 3.0;
    let squares: f64 = times.iter().map(|time| (time - mean).powi(2)).sum();
    let deviation = (squares / 2.0).sqrt();
    let scatter = 100.0 * deviation / 3f64.sqrt() / mean;
    let (balance, hand) = (100.0 * BALANCE / 3f64.sqrt() / DRUM, 100.0 * HAND / mean);
    Fill {
        mean,
        deviation,
        flow: 60e3 * DRUM / WATER * bracket() / mean,
        scatter,
        balance,
        hand,
        sum: (scatter * scatter + balance * balance + hand * hand).sqrt(),
    }
}

fn row(run: &str) -> Vec<String> {
    let text = file(SHEET);
    let start = format!("{run},");
    let line = text.lines().find(|line| line.starts_with(&start)).unwrap();
    line.split(',').map(str::to_owned).collect()
}

fn times(run: &str) -> [f64; 3] {
    let row = row(run);
    [5, 6, 7].map(|column| row[column].parse().unwrap())
}

#[test]
fn givens_are_the_files() {
    let rig = file(RIG);
    let value = |key: &str| said(&rig, key);
    assert_eq!(
        format!("lifts of {} bore over", value("bore")),
        "lifts of 34 mm bore over"
    );
    assert_eq!(
        format!(
            "bore {}, air let in {} below",
            value("bore"),
            value("submergences")
        ),
        "bore 34 mm, air let in 0.85 m below"
    );
    assert_eq!(
        format!("lifts tried | {} | air tried", value("lifts")),
        "lifts tried | 0.12 m, 0.20 m | air tried"
    );
    let flows = value("air_flows").replace(" L/min", "");
    let flows: Vec<&str> = flows.split(", ").collect();
    assert_eq!(
        format!(
            "about {}, {} and {} L/min | drum on",
            flows[0], flows[1], flows[2]
        ),
        "about 8, 12 and 16 L/min | drum on"
    );
    let second = row("R2");
    assert_eq!(
        format!(
            "filled with {} kg, read to {} | gas",
            second[4],
            value("balance")
        ),
        "filled with 20 kg, read to 0.05 kg | gas"
    );
    assert_eq!(
        format!("is read to {} either", value("balance")),
        "is read to 0.05 kg either"
    );
    assert_eq!(
        format!("intake | {} of its", value("air_meter")),
        "intake | 1 % of its"
    );
    assert_eq!(
        format!("check the meter | {} | water", value("bottle")),
        "check the meter | 5 L | water"
    );
    let degrees: f64 = value("temperature")
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    let density = water(degrees, 0.0).density().value;
    assert_eq!(
        format!(
            "fresh, {}, density {density:.2} kg/m³",
            value("temperature")
        ),
        "fresh, 17 °C, density 998.78 kg/m³"
    );
    let room: f64 = second[15].parse().unwrap();
    assert_eq!(
        format!(
            "room | {room:.0} °C ({:.2} K), barometer {} kPa, density {AIR} kg/m³ | the balance's weights | density {WEIGHTS} kg/m³",
            room + 273.15,
            second[17]
        ),
        "room | 20 °C (293.15 K), barometer 99.7 kPa, density 1.2 kg/m³ | the balance's weights | density 8000 kg/m³",
    );
    assert_eq!(value("pressure"), format!("{BAROMETER} kPa"));
    assert_eq!(
        [
            second[4].parse(),
            value("balance").replace(" kg", "").parse()
        ],
        [Ok(DRUM), Ok(BALANCE)]
    );
    let dry = AirState::DRY_20_C;
    assert_eq!(
        format!(
            "dry, at {:.0} °C and {:.3} kPa, it",
            dry.temperature.get::<degree_celsius>(),
            dry.pressure.get::<kilopascal>()
        ),
        "dry, at 20 °C and 101.325 kPa, it",
    );
}

#[test]
fn the_second_run_by_hand() {
    let cells = row("R2");
    let run = fill(times("R2"));
    assert_eq!(
        format!(
            "drum took {} kg in {}, {} and {} s. The mean is {:.2} s",
            cells[4], cells[5], cells[6], cells[7], run.mean
        ),
        "drum took 20 kg in 51.2, 49.9 and 50.2 s. The mean is 50.43 s",
    );
    assert_eq!(
        format!(
            "rho of {:.3} L and a bracket of {:.5} that is **{:.2} L/min**",
            1e3 * DRUM / WATER,
            bracket(),
            run.flow
        ),
        "rho of 20.024 L and a bracket of 1.00105 that is **23.85 L/min**",
    );
    assert_eq!(
        format!(
            "standard deviation is {:.2} s. The standard uncertainty of their mean is smaller by the root of three: {:.2} s, or {:.2} %",
            run.deviation,
            run.deviation / 3f64.sqrt(),
            run.scatter
        ),
        "standard deviation is 0.68 s. The standard uncertainty of their mean is smaller by the root of three: 0.39 s, or 0.78 %",
    );
    assert_eq!(
        format!("of {BALANCE}/ sqrt3 kg, or {:.2} %", run.balance),
        "of 0.05/ sqrt3 kg, or 0.14 %"
    );
    assert_eq!(
        format!("allow {HAND} s either way, or {:.2} %", run.hand),
        "allow 0.1 s either way, or 0.20 %"
    );
    let squares = [run.scatter, run.balance, run.hand].map(|part| format!("{part:.2}") + "^2");
    let [a, sum] = [run.scatter, run.sum].map(|part| format!("{part:.2}"));
    assert_eq!(
        format!("u = sqrt {} % = {sum} % The", squares.join(" ")),
        "u = sqrt 0.78^2 0.14^2 0.20^2 % = 0.82 % The"
    );
    let freedom = 2.0 * (run.sum / run.scatter).powi(4);
    assert_eq!(
        format!("frac {sum} {a} right {freedom:.1}"),
        "frac 0.82 0.78 right 2.4"
    );
    let student = |freedom: f64| {
        StudentsT::new(0.0, 1.0, freedom)
            .unwrap()
            .inverse_cdf(0.975)
    };
    let wide = student(freedom);
    assert_eq!(
        format!(
            "few is {wide:.2} by a. tables have {:.2} for two and {:.2} for three. So the limits are {wide:.2} cdot {sum} = {:.1} % either",
            student(2.0),
            student(3.0),
            wide * run.sum
        ),
        "few is 3.67 by a. tables have 4.30 for two and 3.18 for three. So the limits are 3.67 cdot 0.82 = 3.0 % either",
    );
    let read: f64 = cells[8].parse().unwrap();
    let counted = read * BAROMETER / 101.325;
    assert_eq!(
        format!("meter counts {read} L/min of"),
        "meter counts 12.15 L/min of"
    );
    let one = 293.15 / (cells[15].parse::<f64>().unwrap() + 273.15);
    assert_eq!(
        format!(
            "T = {read} cdot frac {BAROMETER}  {}  cdot {one} = {counted:.2} mathrm L/min",
            101.325
        ),
        "T = 12.15 cdot frac 99.7  101.325  cdot 1 = 11.96 mathrm L/min",
    );
}

#[test]
fn model_and_factors() {
    let (rig, csv) = (file(RIG), file(SHEET));
    let bench = DesignFile::parse(&rig).unwrap().bench().unwrap();
    let runs = reduce(&parse_runs(&csv).unwrap(), &bench.instruments).unwrap();
    let model = |fallen: f64| -> Vec<f64> {
        let one = |run: &risewater::trial::ReducedRun| {
            let mut spec = bench.spec;
            spec.dimensions.submergence = run.submergence.value - Length::new::<meter>(fallen);
            spec.dimensions.lift = run.lift.value + Length::new::<meter>(fallen);
            let riser = spec.build(&run.site, bench.model).unwrap();
            l_min(riser.operate(run.air.air_flow()).unwrap().water_flow())
        };
        runs.iter().map(one).collect()
    };
    let measured: Vec<f64> = runs
        .iter()
        .map(|run| l_min(run.water_flow.value.value))
        .collect();
    let (said, fallen) = (model(0.0), model(0.01));
    let ratio: Vec<f64> = measured.iter().zip(&said).map(|(a, b)| a / b).collect();
    let mean = |all: &[f64]| all.iter().sum::<f64>() / f64::from(u32::try_from(all.len()).unwrap());
    let line = |n: usize| {
        let lift = runs[n].lift.value.get::<meter>();
        let air = counted(runs[n].air.air_flow());
        format!(
            "| R{} | {lift:.2} | {air:.2} | {:.2} | {:.2} | {:.3} |",
            n + 1,
            measured[n],
            said[n],
            ratio[n]
        )
    };
    assert_eq!(line(0), "| R1 | 0.12 | 7.97 | 17.00 | 19.75 | 0.861 |");
    assert_eq!(line(1), "| R2 | 0.12 | 11.96 | 23.85 | 27.36 | 0.872 |");
    assert_eq!(line(2), "| R3 | 0.12 | 15.94 | 28.34 | 32.73 | 0.866 |");
    assert_eq!(line(3), "| R4 | 0.20 | 7.97 | 9.33 | 10.96 | 0.851 |");
    assert_eq!(line(4), "| R5 | 0.20 | 11.96 | 15.47 | 18.18 | 0.851 |");
    assert_eq!(line(5), "| R6 | 0.20 | 15.55 | 20.61 | 23.29 | 0.885 |");
    assert_eq!(
        format!(
            "model says {:.2} L/min. So the model is high by {:.2}/{:.2} - {one} = {:.1} %, five",
            said[1],
            said[1],
            measured[1],
            100.0 * (said[1] / measured[1] - 1.0),
            one = said[1] / said[1]
        ),
        "model says 27.36 L/min. So the model is high by 27.36/23.85 - 1 = 14.7 %, five",
    );
    let factor: f64 = format!("{:.3}", mean(&ratio[..3])).parse().unwrap();
    assert_eq!(
        format!("three runs, {factor:.3}, and multiply; model times {factor:.3} | measured"),
        "three runs, 0.866, and multiply; model times 0.866 | measured"
    );
    let tried = |n: usize| {
        let off = 100.0 * (factor * said[n] / measured[n] - 1.0);
        format!(
            "| R{} | {:.2} | {:.2} | {off:+.1} % |",
            n + 1,
            factor * said[n],
            measured[n]
        )
        .replace('-', "−")
    };
    assert_eq!(tried(3), "| R4 | 9.49 | 9.33 | +1.7 % |");
    assert_eq!(tried(4), "| R5 | 15.74 | 15.47 | +1.8 % |");
    assert_eq!(tried(5), "| R6 | 20.17 | 20.61 | −2.1 % |");

    // The law of error, with three runs and with six.
    let (three, kept) = runs.split_at(3);
    let law = |runs| {
        ErrorLaw::default().with_calibration(Calibration::of_runs(runs, &bench.spec).unwrap())
    };
    let (few, all) = (law(three), law(&runs[..]));
    let (mut before, mut after) = (0.0_f64, 0.0_f64);
    for (run, said) in kept.iter().zip(&said[3..]) {
        let mut spec = bench.spec;
        spec.dimensions.submergence = run.submergence.value;
        spec.dimensions.lift = run.lift.value;
        let riser = spec.build(&run.site, bench.model).unwrap();
        let now = few.on(&riser).unwrap().predict(run.air.air_flow()).unwrap();
        let measured = run.water_flow.value.value;
        assert!(
            now.interval
                .is_some_and(|interval| interval.holds(measured))
        );
        before = before.max((100.0 * (said / l_min(measured) - 1.0)).abs());
        after =
            after.max((100.0 * (l_min(now.outcome.water_flow()) / l_min(measured) - 1.0)).abs());
    }
    assert_eq!(
        format!("off by up to {before:.0} % before it. by up to {after:.0} % after"),
        "off by up to 18 % before it. by up to 2 % after",
    );
    assert_eq!(
        format!("off by up to {before:.0} %, and now"),
        "off by up to 18 %, and now"
    );
    let second = &runs[1];
    let mut spec = bench.spec;
    spec.dimensions.submergence = second.submergence.value;
    spec.dimensions.lift = second.lift.value;
    let riser = spec.build(&second.site, bench.model).unwrap();
    let bare = ErrorLaw::default()
        .on(&riser)
        .unwrap()
        .predict(second.air.air_flow())
        .unwrap();
    let interval = bare.interval.unwrap();
    assert_eq!(
        format!(
            "short: {:.0} to {:.0} L/min for",
            l_min(interval.low),
            l_min(interval.high)
        ),
        "short: 18 to 43 L/min for"
    );

    let (lift, air) = (0.16, 12.0);
    let between = design(
        &rig,
        &[
            "riser.submergence=0.85 m".to_owned(),
            format!("riser.lift={lift} m"),
            format!("air.flow={air} L/min"),
        ],
    );
    let (riser, flow) = between.riser_and_air().unwrap();
    let plain = l_min(riser.operate(flow).unwrap().water_flow());
    let law = l_min(all.on(&riser).unwrap().operate(flow).unwrap().water_flow());
    let made: f64 = csv
        .lines()
        .find_map(|line| line.strip_prefix("# How made: ")?.split(' ').next())
        .unwrap()
        .parse()
        .unwrap();
    assert_eq!(
        format!("at a lift of {lift} m, with {air} L/min of air"),
        "at a lift of 0.16 m, with 12 L/min of air"
    );
    assert_eq!(
        format!("it is | {plain:.2} | times"),
        "it is | 22.42 | times"
    );
    assert_eq!(
        format!(
            "times {factor}, the factor | {:.2} | the library",
            factor * plain
        ),
        "times 0.866, the factor | 19.42 | the library"
    );
    assert_eq!(
        format!(
            "six runs | {law:.2} | the truth, {made} of the model | {:.2} |",
            made * plain
        ),
        "six runs | 19.32 | the truth, 0.88 of the model | 19.73 |"
    );
    assert_eq!(
        format!("same injector: {law:.1} L/min each at {lift} m"),
        "same injector: 19.3 L/min each at 0.16 m"
    );

    assert_eq!(
        format!(
            "later. Run {} keeps; of run {} by; Run {} has",
            row("R4")[0],
            row("R1")[0],
            row("R6")[0]
        ),
        "later. Run R4 keeps; of run R1 by; Run R6 has",
    );

    // The exercises.
    let first = fill(times("R1"));
    assert_eq!(
        format!(
            "The mean is {:.2} s, so the flow is {:.2} L/min. The standard deviation is {:.2} s, so the scatter of the mean is {:.2} %. The balance gives {:.2} % and the hand also {:.2} %. Together that is {:.2} %",
            first.mean,
            first.flow,
            first.deviation,
            first.scatter,
            first.balance,
            first.hand,
            first.sum
        ),
        "The mean is 70.73 s, so the flow is 17.00 L/min. The standard deviation is 0.47 s, so the scatter of the mean is 0.39 %. The balance gives 0.14 % and the hand also 0.14 %. Together that is 0.44 %",
    );
    let cells = row("R6");
    let bottle: f64 = cells[10].parse().unwrap();
    let filling = [11, 12, 13].map(|column| cells[column].parse::<f64>().unwrap());
    let degrees: f64 = cells[15].parse().unwrap();
    let vapour = water(degrees, 0.0).vapour_pressure().get::<kilopascal>();
    let wet = 60.0 * bottle / mean(&filling);
    assert_eq!(
        format!(
            "bottle of {bottle} L filled in {}, {} and {} s, with water of {degrees} °C in. pressure, {vapour:.2} kPa, is",
            filling[0], filling[1], filling[2]
        ),
        "bottle of 5 L filled in 18.4, 18.6 and 18.6 s, with water of 20 °C in. pressure, 2.34 kPa, is",
    );
    let dry = BAROMETER - vapour;
    assert_eq!(
        format!(
            "bottle it is {wet:.2} L/min of moist air. The dry air in it is under {BAROMETER} - {vapour:.2} = {dry:.2} kPa. So it counts as {wet:.2} cdot {dry:.2}/{} = {:.2} L/min, as",
            101.325,
            wet * dry / 101.325
        ),
        "bottle it is 16.19 L/min of moist air. The dry air in it is under 99.7 - 2.34 = 97.36 kPa. So it counts as 16.19 cdot 97.36/101.325 = 15.55 L/min, as",
    );
    assert!((counted(runs[5].air.air_flow()) - wet * dry / 101.325).abs() < 0.01);
    let lower = 0.01;
    let lifts = [0, 3].map(|n| runs[n].lift.value.get::<meter>() + lower);
    assert_eq!(
        format!(
            "stood {:.0} mm lower than was written down, with {:.2} m of depth and lifts of {:.2} and {:.2} m",
            1e3 * lower,
            runs[0].submergence.value.get::<meter>() - lower,
            lifts[0],
            lifts[1]
        ),
        "stood 10 mm lower than was written down, with 0.84 m of depth and lifts of 0.13 and 0.21 m",
    );
    let list = |all: &[f64], digits: usize| {
        let all: Vec<String> = all.iter().map(|one| format!("{one:.digits$}")).collect();
        format!("{} and {}", all[..5].join(", "), all[5])
    };
    assert_eq!(
        format!("model says {} L/min. How", list(&fallen, 2)),
        "model says 18.09, 25.72, 31.15, 9.93, 16.95 and 22.00 L/min. How"
    );
    let again: Vec<f64> = measured.iter().zip(&fallen).map(|(a, b)| a / b).collect();
    assert_eq!(
        format!(
            "become {}, with a mean of {:.3} in place of {:.3}. So",
            list(&again, 3),
            mean(&again),
            mean(&ratio)
        ),
        "become 0.940, 0.927, 0.910, 0.939, 0.912 and 0.937, with a mean of 0.928 in place of 0.864. So",
    );
    let spread = |all: &[f64]| {
        all.iter().copied().fold(0.0, f64::max) / all.iter().copied().fold(9.0, f64::min)
    };
    assert!(spread(&ratio) < 1.041 && spread(&again) < 1.041);
}
