//! The invented readings of an aeration test are those that their remarks say.

use std::fmt::Write;

use risewater::gas::aeration::{DEMO_READINGS, Reaeration, parse_readings};
use risewater::units::{Ratio, per_hour, percent};

/// kLa of the invented tank, 1/h.
const PER_HOUR: f64 = 2.4;

fn made() -> String {
    let mut text = "# Invented readings of our own invented hatchery, for trying the tool: no test was made.
# Made from kLa = 2.4/h, end 9.30 mg/L, start 0.40 mg/L (north) and 0.55 mg/L (south), with nearly normal noise
# of standard deviation 0.03 mg/L (twelve even draws less six; seed 7), rounded to 0.01 mg/L. The south probe
# missed two readings.
time_min,probe_north_mg_per_l,probe_south_mg_per_l
"
    .to_owned();
    let mut state: u32 = 7;
    // Twelve even draws less six: nearly normal, of standard deviation one.
    let mut noise = || {
        let mut sum = -6.0;
        for _ in 0..12 {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            sum += f64::from(state) / 4_294_967_296.0;
        }
        0.03 * sum
    };
    for n in 0..41 {
        let minutes = 2.5 * f64::from(n);
        let mut read = |start: f64| {
            let exact = 9.3 - (9.3 - start) * (-PER_HOUR * minutes / 60.0).exp();
            exact + noise()
        };
        let (north, south) = (read(0.40), read(0.55));
        let south = if [9, 23].contains(&n) {
            String::new()
        } else {
            format!("{south:.2}")
        };
        writeln!(text, "{minutes:.1},{north:.2},{south}").unwrap();
    }
    text
}

#[test]
fn the_readings_are_made_as_they_say() {
    assert_eq!(made(), DEMO_READINGS);
}

#[test]
fn their_fit_finds_what_they_were_made_from() {
    let probes = parse_readings(DEMO_READINGS).unwrap();
    assert_eq!(probes.len(), 2);
    assert_eq!(
        [probes[0].readings.len(), probes[1].readings.len()],
        [41, 39]
    );
    for probe in probes {
        let fit = Reaeration::of(&probe.readings).unwrap();
        // One in a thousand sets of readings would lie outside.
        let level = Ratio::new::<percent>(99.9);
        let (low, high) = fit.coefficient.interval(level).unwrap();
        let within = low.get::<per_hour>()..high.get::<per_hour>();
        assert!(within.contains(&PER_HOUR), "{}: {within:?}", probe.name);
    }
}
