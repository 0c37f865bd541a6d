//! The file of a trial's measured points.

use proptest::prelude::*;
use risewater::Calibration;
use risewater::uncertainty::{ErrorLaw, SharedError};

use crate::made::{config, ends, points, riser, share, times, trial};

proptest! {
    #![proptest_config(config(200))]

    /// What is saved and read is the same to the last bit, whatever the outlet and the names.
    #[test]
    fn there_and_back(riser in riser(0.41..1.0), made in points(1), names in prop::collection::vec("\\PC{0,12}", 3), line in any::<bool>()) {
        let mut saved = trial(&riser, &made.0, made.1);
        if line {
            let rig = saved.rig().with_air_line(0.3 * saved.rig().dimensions.bore);
            let points = saved.points().to_vec();
            saved = Calibration::new(rig, points).unwrap();
        }
        let mut points = saved.points().to_vec();
        for point in &mut points {
            point.run.clone_from(&names[0]);
            point.shared = names[1..].iter().map(|name| SharedError { of: name.clone(), water: share(-0.01), air: share(0.02) }).collect();
        }
        let saved = Calibration::new(*saved.rig(), points).unwrap();
        let text = saved.file_text().unwrap();
        let read = Calibration::parse(&text);
        prop_assert_eq!(read.as_ref(), Ok(&saved), "{}", text);
    }
}

/// An error that points share does not average out: ten readings of it are no better than it is; the same errors each by
/// itself are.
#[test]
fn shared_errors_stay() {
    let riser = crate::riser(50.0, 1.1, 0.4, 1.5, 0.5);
    let made = vec![(1.0, 0.3, -0.1); 10];
    let width = |shared: f64, own: f64| {
        let mut points = trial(&riser, &made, shared).points().to_vec();
        for point in &mut points {
            point.water_standard = share(own);
        }
        let trial = Calibration::new(*riser.spec(), points).unwrap();
        let law = ErrorLaw::default().with_calibration(trial);
        let air = times(riser.peak().unwrap().air, 0.3);
        let [_, low, high] = ends(&law.on(&riser).unwrap(), air);
        0.5 * (high / low).ln() / 1.281_551_565_5
    };
    // One normal law of 0.1 and nine more of 0.03 each leave no less than nearly 0.1, of a prior that is wider.
    assert!(width(0.1, 0.03) > 0.08);
    // 0.1 each, ten times: 0.1/√10.
    assert!(width(0.0, 0.1) < 1.05 * 0.1 / 10f64.sqrt());
}
