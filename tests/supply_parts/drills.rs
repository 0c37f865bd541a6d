//! Drill sizes: order, search, names and known diameters.

use risewater::supply::drill::{DrillSize, DrillSystem, INCH, METRIC};
use risewater::units::{Length, inch, meter, millimeter};

use super::mm;

#[test]
fn drills_rise_and_are_found() {
    // BS 328: 230 sizes if 25.25, 25.5 and 25.75 mm are counted. Inch: E is 1/4 in.
    for (system, count, range) in [
        (DrillSystem::Metric, 230 - 3, METRIC),
        (DrillSystem::Inch, 80 + 26 + 64 - 1, INCH),
    ] {
        let sizes = system.sizes();
        assert_eq!(sizes.len(), count);
        assert!(
            sizes
                .windows(2)
                .all(|pair| pair[0].diameter < pair[1].diameter)
        );
        let get = |length: Length| match system {
            DrillSystem::Metric => length.get::<millimeter>(),
            DrillSystem::Inch => length.get::<inch>(),
        };
        approx::assert_relative_eq!(get(sizes[0].diameter), range.min, max_relative = 1e-15);
        approx::assert_relative_eq!(
            get(sizes[count - 1].diameter),
            range.max,
            max_relative = 1e-15
        );
        for size in sizes {
            assert_eq!(DrillSize::nearest(size.diameter, system), Ok(size));
            assert_eq!(DrillSize::below(size.diameter, system), Some(size));
            assert_eq!(DrillSize::above(size.diameter, system), Some(size));
            assert_eq!(DrillSize::named(&size.name), Ok(size));
            assert_eq!(size.system, system);
        }
        for pair in sizes.windows(2) {
            // Just off the middle of the areas.
            let middle = |factor: f64| {
                let (a, b) = (
                    pair[0].diameter.get::<meter>(),
                    pair[1].diameter.get::<meter>(),
                );
                Length::new::<meter>(f64::midpoint(a * a, b * b).sqrt() * factor)
            };
            assert_eq!(DrillSize::nearest(middle(1.0 - 1e-9), system), Ok(&pair[0]));
            assert_eq!(DrillSize::nearest(middle(1.0 + 1e-9), system), Ok(&pair[1]));
            assert_eq!(DrillSize::below(middle(1.0), system), Some(&pair[0]));
            assert_eq!(DrillSize::above(middle(1.0), system), Some(&pair[1]));
        }
        for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0, 0.1, 25.5] {
            assert!(DrillSize::nearest(mm(bad), system).is_err(), "{bad}");
        }
        assert_eq!(DrillSize::below(mm(0.1), system), None);
        assert_eq!(DrillSize::above(mm(26.0), system), None);
        assert_eq!(DrillSize::below(mm(f64::NAN), system), None);
    }
}

#[test]
fn fractions_of_an_inch_are_exact() {
    let mut found = 0;
    for size in DrillSystem::Inch.sizes() {
        let Some(fraction) = size.name.strip_suffix(" in") else {
            continue;
        };
        let (over, under) = fraction.split_once('/').unwrap_or((fraction, "1"));
        let exact = over.parse::<f64>().unwrap() / under.parse::<f64>().unwrap();
        assert_eq!(size.diameter, Length::new::<inch>(exact), "{fraction}");
        found += 1;
    }
    assert_eq!(found, 64);
}

/// Sizes as open lists of tap and clearance drills print them: number 7 for 1/4-20, 21 for 10-32, 29 for 8-32, 36 for
/// 6-32, 50 for 2-56, letter F for 5/16-18, Q for 3/8-24, U for 7/16-14; and the ends of both series.
#[test]
fn drills_of_known_size() {
    for (name, inches) in [
        ("#80", "0.0135"),
        ("#50", "0.0700"),
        ("#36", "0.1065"),
        ("#29", "0.1360"),
        ("#21", "0.1590"),
        ("#10", "0.1935"),
        ("#7", "0.2010"),
        ("#3", "0.2130"),
        ("#1", "0.2280"),
        ("A", "0.2340"),
        ("E", "0.2500"),
        ("F", "0.2570"),
        ("Q", "0.3320"),
        ("U", "0.3680"),
        ("Z", "0.4130"),
    ] {
        let diameter = DrillSize::named(name).unwrap().diameter;
        assert_eq!(format!("{:.4}", diameter.get::<inch>()), inches, "{name}");
    }
}
