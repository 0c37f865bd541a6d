//! Lifts on one blower: their air for a lower end, and the interval of all together.

use risewater::design::{DesignFile, SUPPLY_EXAMPLE};
use risewater::supply::blower::DEMO;

use crate::made::ends;

/// The example's plant with some values replaced.
fn design(set: &[&str]) -> DesignFile {
    let set: Vec<String> = set.iter().map(|&one| one.to_owned()).collect();
    let design = DesignFile::parse_with(SUPPLY_EXAMPLE, &set).unwrap();
    design.with_blower_table(DEMO)
}

/// Its lifts' air by design, kg/s, and what they give with it by prediction and at the lower end, m³/s.
fn designed(set: &[&str]) -> Vec<(f64, [f64; 3])> {
    let plant = design(set).supply().unwrap().plant;
    let predictors = plant.manifold.predictors().unwrap();
    let lifts = predictors.iter().zip(&plant.design);
    lifts
        .map(|(predictor, air)| (air.dry_mass_rate().value, ends(predictor, *air)))
        .collect()
}

/// Of the lower end the air is what makes that the flow asked of the lift.
#[test]
fn the_lower_end_of_each_lift_gives_its_flow() {
    let plain = designed(&[]);
    let sure = designed(&["duty.at_lower_end=true"]);
    assert_eq!(plain.len(), 12);
    for ((plain, [flow, ..]), (sure, [_, low, _])) in plain.iter().zip(&sure) {
        assert!((low / flow - 1.0).abs() < 1e-6, "{low} {flow}");
        assert!(sure > plain);
    }
}

/// Lifts of one rig are off together, different rigs are not: lows and highs of the eight lifts of 3 in add up, so do
/// those of the four of 2 in, and both sums combine by root of squares.
#[test]
fn all_lifts_together() {
    let solved = design(&[]).supply().unwrap().solve().unwrap();
    let (running, intervals) = (
        &solved.running,
        solved.manifold.intervals(&solved.running).unwrap(),
    );
    let mut kinds = [[0.0; 3]; 2];
    for (n, (outcome, interval)) in running.lifts.iter().zip(&intervals.lifts).enumerate() {
        let interval = interval.unwrap();
        let own = [outcome.water_flow(), interval.low, interval.high].map(|flow| flow.value);
        let kind = usize::from(n >= 8);
        (0..3).for_each(|i| kinds[kind][i] += own[i]);
    }
    let flow = kinds[0][0] + kinds[1][0];
    let half = |end: usize| (kinds[0][end] - kinds[0][0]).hypot(kinds[1][end] - kinds[1][0]);
    let whole = intervals.whole.unwrap();
    assert!((whole.low.value / (flow - half(1)) - 1.0).abs() < 1e-12);
    assert!((whole.high.value / (flow + half(2)) - 1.0).abs() < 1e-12);
    assert!(whole.low.value > 0.0 && whole.holds(running.water_flow()));
    // Of eight lifts alone nothing averages out.
    let alone = SUPPLY_EXAMPLE
        .find("[[lift]]\nname = \"filter 1\"")
        .unwrap();
    let eight = DesignFile::parse(&SUPPLY_EXAMPLE[..alone]).unwrap();
    let supply = eight.with_blower_table(DEMO).supply().unwrap();
    let solved = supply.solve().unwrap();
    let intervals = solved.manifold.intervals(&solved.running).unwrap();
    let lows = intervals.lifts.iter().map(|one| one.unwrap().low.value);
    assert_eq!(intervals.lifts.len(), 8);
    let whole = intervals.whole.unwrap();
    assert!((whole.low.value / lows.sum::<f64>() - 1.0).abs() < 1e-12);
}
