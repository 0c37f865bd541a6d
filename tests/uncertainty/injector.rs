//! The injector: what the rigs had leaves intervals as they are, another kind widens them, and no kind moves a flow.

use risewater::riser::{InjectorKind, Riser};
use risewater::uncertainty::{Basis, Calibration, Difference, Doubt, ErrorLaw};
use risewater::units::ratio;
use risewater::{AirFlow, Caution};

use crate::air;
use crate::made::{ends, trial};

const UNLIKE: [InjectorKind; 2] = [InjectorKind::OpenTube, InjectorKind::Diffuser];

fn plain() -> Riser {
    crate::riser(50.0, 1.1, 0.4, 1.5, 0.5)
}

fn with(kind: InjectorKind) -> Riser {
    let spec = plain().spec().with_injector(kind);
    plain().with_spec(spec).unwrap()
}

fn doubt(riser: &Riser, air: AirFlow) -> Doubt {
    Doubt::of(riser, riser.operate(air).unwrap().point().unwrap()).unwrap()
}

fn code(riser: &Riser, law: &ErrorLaw) -> bool {
    let cautions = law.on(riser).unwrap().cautions(air(80.0)).unwrap();
    cautions
        .iter()
        .any(|one| matches!(one, Caution::InjectorUnlikeRigs { .. }))
}

#[test]
fn a_kind_of_the_rigs_changes_nothing() {
    let law = ErrorLaw::default();
    let ring = with(InjectorKind::DrilledRing);
    for at in [3.0, 20.0, 80.0, 200.0].map(air) {
        let [plain, ring] = [&plain(), &ring].map(|riser| law.on(riser).unwrap().predict(at));
        assert_eq!(plain.unwrap(), ring.unwrap());
    }
    assert!(!code(&plain(), &law) && !code(&ring, &law));
}

/// The variance of ln q grows by (0.14 F)², 0.14 = -ln 0.87 to two digits: 13 % less water.
#[test]
fn another_kind_widens_the_interval_alone() {
    assert_eq!(format!("{:.2}", -(0.87_f64).ln()), "0.14");
    let law = ErrorLaw::default();
    for kind in UNLIKE {
        let riser = with(kind);
        for at in [20.0, 80.0, 200.0].map(air) {
            let (before, after) = (doubt(&plain(), at), doubt(&riser, at));
            let grown = after.standard().powi(2) - before.standard().powi(2);
            let expected = (0.14 * before.stretch()).powi(2);
            assert!(
                (grown / expected - 1.0).abs() < 1e-9,
                "{kind}: {grown}, {expected}"
            );
            let [q, low, high] = ends(&law.on(&plain()).unwrap(), at);
            let [same, lower, higher] = ends(&law.on(&riser).unwrap(), at);
            assert!(q == same && lower < low && high < higher, "{kind}");
        }
        // Where hardly any water flows the ends are solved: there too.
        let least =
            AirFlow::from_dry_mass(1.02 * plain().threshold().unwrap().unwrap().dry_mass_rate())
                .unwrap();
        let [_, _, high] = ends(&law.on(&plain()).unwrap(), least);
        let [_, _, higher] = ends(&law.on(&riser).unwrap(), least);
        assert!(higher > high, "{kind}");
        assert!(code(&riser, &law), "{kind}");
    }
}

fn trial_of(riser: &Riser) -> ErrorLaw {
    let made = [(1.0, 0.1, -0.2), (1.0, 0.3, -0.2), (1.0, 1.0, -0.2)];
    let points = trial(riser, &made, 0.0).points().to_vec();
    ErrorLaw::default().with_calibration(Calibration::new(*riser.spec(), points).unwrap())
}

/// A trial has the injector of its rig in it: that of another says nothing, and one that is silent of its injector is
/// taken for the same, and moves a flow as it does without.
#[test]
fn a_trial_speaks_for_its_own_injector() {
    let diffuser = with(InjectorKind::Diffuser);
    let other = trial_of(&with(InjectorKind::DrilledRing))
        .on(&diffuser)
        .unwrap();
    assert_eq!(other.another_rig(), Some(Difference::Foot));
    let factor = |law: &ErrorLaw, riser: &Riser| {
        let known = law.on(riser).unwrap();
        assert_eq!(known.basis(), Basis::BenchTrial);
        let at = air(80.0);
        let measured = known.operate(at).unwrap().water_flow();
        (measured / riser.operate(at).unwrap().water_flow()).get::<ratio>()
    };
    let both_silent = factor(&trial_of(&plain()), &plain());
    for (law, riser) in [
        (trial_of(&diffuser), &diffuser),
        (trial_of(&plain()), &diffuser),
        (trial_of(&diffuser), &plain()),
    ] {
        assert!(!code(riser, &law));
        let found = factor(&law, riser);
        // A fifth less was measured: the prior's width hardly matters beside three readings.
        assert!(
            (found / both_silent - 1.0).abs() < 0.01,
            "{found}, {both_silent}"
        );
    }
}

#[cfg(feature = "files")]
#[test]
fn its_file_tells_the_injector() {
    let riser = with(InjectorKind::Diffuser);
    let law = trial_of(&riser);
    let text = law.calibration().unwrap().file_text().unwrap();
    assert!(text.contains("injector = \"diffuser\""), "{text}");
    assert_eq!(Calibration::parse(&text).as_ref().ok(), law.calibration());
    let silent = trial_of(&plain())
        .calibration()
        .unwrap()
        .file_text()
        .unwrap();
    assert!(!silent.contains("injector ="), "{silent}");
}
