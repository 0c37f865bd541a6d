//! What is one rig with the rig of a trial, and what is another.

use risewater::riser::{BrinkHead, Outlet, RiserSpec};
use risewater::uncertainty::{Basis, Difference, ErrorLaw};
use risewater::units::{Length, meter, millimeter};
use risewater::{AirFlow, Caution, Model};

use crate::air;
use crate::made::{share, trial};

fn rig() -> RiserSpec {
    *crate::riser(50.0, 1.1, 0.4, 1.5, 0.5).spec()
}

/// A trial of the rig that found a fifth less water.
fn law() -> ErrorLaw {
    let riser = crate::riser(50.0, 1.1, 0.4, 1.5, 0.5);
    let made = [(1.0, 0.1, -0.2), (1.0, 0.3, -0.2), (1.0, 1.0, -0.2)];
    ErrorLaw::default().with_calibration(trial(&riser, &made, 0.0))
}

fn at() -> AirFlow {
    air(80.0)
}

fn codes(cautions: &[Caution]) -> Vec<&str> {
    cautions.iter().map(Caution::code).collect()
}

/// Another bore, foot, outlet or length: exactly the prior, and the reason.
#[test]
fn another_rig_gets_the_prior() {
    let changed = |change: &dyn Fn(&mut RiserSpec)| {
        let mut spec = rig();
        change(&mut spec);
        spec
    };
    let m = Length::new::<meter>;
    let elbow = Outlet::Elbow {
        loss: share(0.0),
        bore: None,
        head: BrinkHead::Mixture,
    };
    let cases = [
        (
            changed(&|spec| spec.dimensions.bore = Length::new::<millimeter>(51.5)),
            Difference::Bore,
        ),
        (rig().with_lost_bore(m(0.001)), Difference::Bore),
        (rig().with_air_line(m(0.006)), Difference::Bore),
        (rig().with_entrance_loss(share(0.7)), Difference::Foot),
        (
            changed(&|spec| spec.injector_loss = share(0.3)),
            Difference::Foot,
        ),
        (
            changed(&|spec| spec.suction_length = m(0.5)),
            Difference::Foot,
        ),
        (rig().with_outlet(elbow), Difference::Outlet),
        (
            rig().with_outlet(Outlet::Plain { loss: share(0.5) }),
            Difference::Outlet,
        ),
        // A fifth longer, above or below.
        (
            changed(&|spec| spec.dimensions.lift += m(0.3)),
            Difference::Length,
        ),
        (
            changed(&|spec| spec.dimensions.submergence -= m(0.3)),
            Difference::Length,
        ),
    ];
    for (spec, part) in cases {
        let riser = spec.build(&crate::site(), Model::default()).unwrap();
        let predictor = law().on(&riser).unwrap();
        let plain = ErrorLaw::default().on(&riser).unwrap();
        assert_eq!(predictor.predict(at()), plain.predict(at()), "{part}");
        assert_eq!(predictor.another_rig(), Some(part));
        assert_eq!(predictor.basis(), Basis::PublishedRigs);
        assert_eq!(predictor.peak(), riser.peak());
        let cautions = predictor.cautions(at()).unwrap();
        assert!(cautions.contains(&Caution::AnotherRig { part }));
    }
}

/// A tenth longer or shorter, or submerged otherwise, it is the same rig.
#[test]
fn the_same_rig_gets_the_trial() {
    for (depth, lift) in [(1.1, 0.4), (1.15, 0.5), (1.05, 0.3), (1.2, 0.3), (1.0, 0.5)] {
        let riser = crate::riser(50.0, depth, lift, 1.5, 0.5);
        let predictor = law().on(&riser).unwrap();
        let plain = ErrorLaw::default().on(&riser).unwrap();
        let (after, before) = (predictor.predict(at()), plain.predict(at()));
        let (after, before) = (after.unwrap(), before.unwrap());
        let interval = after.interval.unwrap();
        assert_eq!(interval.basis, Basis::BenchTrial);
        assert!(after.outcome.water_flow() < 0.95 * before.outcome.water_flow());
        let before = before.interval.unwrap();
        assert!((interval.high / interval.low).value < (before.high / before.low).value);
        let cautions = predictor.cautions(at()).unwrap();
        assert_eq!(predictor.another_rig(), None);
        assert!(!codes(&cautions).contains(&"another_rig"));
    }
}

/// The trial's own points have its air and depth within reach; 14 times its most air has not.
#[test]
fn the_reach_of_a_trial() {
    let riser = crate::riser(50.0, 1.1, 0.4, 1.5, 0.5);
    let predictor = law().on(&riser).unwrap();
    let peak = riser.peak().unwrap().air;
    let said = |riser_share: f64, depth: f64| {
        let stood = crate::riser(50.0, depth, 1.5 - depth, 1.5, 0.5);
        let air = crate::made::times(peak, riser_share);
        let cautions = law().on(&stood).unwrap().cautions(air).unwrap();
        let far = |one: &&Caution| one.code().starts_with("beyond_trial");
        cautions
            .iter()
            .filter(far)
            .map(Caution::code)
            .collect::<Vec<_>>()
    };
    assert_eq!(predictor.points().readings().len(), 3);
    let none: [&str; 0] = [];
    // 1.9 and 2.1 times the most of the trial; 1.9 and 2.1 times less than its least.
    assert_eq!(said(1.9, 1.1), none);
    assert_eq!(said(2.1, 1.1), ["beyond_trial_air"]);
    assert_eq!(said(0.1 / 1.9, 1.1), none);
    assert_eq!(said(0.1 / 2.1, 1.1), ["beyond_trial_air"]);
    assert_eq!(said(14.0, 1.1), ["beyond_trial_air"]);
    // 0.14 and 0.16 of the length deeper.
    assert_eq!(said(0.3, 1.1 + 0.14 * 1.5), none);
    assert_eq!(said(0.3, 1.1 + 0.16 * 1.5), ["beyond_trial_depth"]);
}
