//! Every caution, from a result that earns it, and none twice.

use risewater::riser::{BrinkHead, Outlet, Site};
use risewater::sizing::{Design, size};
use risewater::transfer::GasTerms;
use risewater::units::*;
use risewater::{AirFlow, Caution, Friction, Model, Outcome, Pipe, Riser, RiserSpec, Slip, Water};

use crate::{liters, meters, problem, riser, site, spec};

fn kilograms(per_second: f64) -> AirFlow {
    AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(per_second)).unwrap()
}

/// Codes at a share of the air of the peak, beside the cautions' text.
fn at_peak(riser: &Riser, share: f64) -> Vec<Caution> {
    let air = kilograms(share * riser.peak().unwrap().air.dry_mass_rate().value);
    riser.cautions(&riser.operate(air).unwrap())
}

fn built(spec: RiserSpec) -> Riser {
    spec.build(&site(), Model::default()).unwrap()
}

fn none() -> Ratio {
    Ratio::new::<ratio>(0.0)
}

/// 2.4 m gives some 111.6 %, above the 110 % taken where no limit is given.
fn too_deep() -> Vec<Caution> {
    let riser = riser(50.0, 2.4, 0.2);
    let peak = riser.peak().unwrap();
    let gases = GasTerms::default().of(&riser, &peak, meters(0.0)).unwrap();
    gases.cautions()
}

/// Oxygen at twice its saturation, nitrogen and argon at theirs: some 120 %.
fn much_gas() -> Vec<Caution> {
    let riser = riser(50.0, 1.0, 0.2);
    let mut terms = GasTerms::default();
    terms.entering[0] = Some(MassConcentration::new::<milligram_per_liter>(20.0));
    let gases = terms.of(&riser, &riser.peak().unwrap(), meters(0.0));
    gases.unwrap().cautions()
}

/// More and more air through a wide, deep riser of hardly any lift, until the mouth chokes.
fn choked() -> Vec<Caution> {
    let riser = spec(300.0, 60.0, 0.0)
        .build(
            &site(),
            Model::new(Slip::Nicklin1962, Friction::Homogeneous),
        )
        .unwrap();
    let mut mass = 1.0;
    while mass < 1000.0 {
        let outcome = riser.operate(kilograms(mass)).unwrap();
        if matches!(outcome, Outcome::Choked(_)) {
            return riser.cautions(&outcome);
        }
        mass *= 1.05;
    }
    panic!("never choked");
}

fn best(standard: &str, peak_share: f64) -> Design {
    let mut problem = problem();
    problem.pipes = Pipe::of_standards(&[standard]).unwrap();
    problem.duty.water_flow = liters(100.0 * peak_share);
    size(&problem).unwrap().designs.remove(0)
}

fn whole_search() -> Vec<Caution> {
    let mut problem = problem();
    problem.duty.water_flow = liters(1e5);
    size(&problem).unwrap().cautions(&problem)
}

/// The best design with the water a hand's breadth lower.
fn low_water() -> Vec<Caution> {
    let mut problem = problem();
    problem.level_fall = meters(0.1);
    let best = size(&problem).unwrap().designs.remove(0);
    let margins = best.margins(&problem).unwrap();
    Vec::from_iter(best.low_water_caution(&problem, &margins))
}

fn from_memory() -> Vec<Caution> {
    let mut problem = problem();
    problem.pipes = Pipe::catalogue()
        .iter()
        .filter(|pipe| pipe.trust == Some(risewater::references::Trust::Memory))
        .cloned()
        .collect();
    problem.max_lifts = 20;
    size(&problem).unwrap().designs[0].cautions()
}

/// What the library says without reports and trials.
fn of_risers_and_sizings() -> Vec<(&'static str, Vec<Caution>)> {
    let salt = Site {
        water: Water::new(
            ThermodynamicTemperature::new::<degree_celsius>(15.0),
            Ratio::new::<per_mille>(33.0),
        )
        .unwrap(),
        ..site()
    };
    let elbow = Outlet::Elbow {
        loss: Ratio::new::<ratio>(1.0),
        bore: Some(Length::new::<millimeter>(30.0)),
        head: BrinkHead::Mixture,
    };
    let bubbly = spec(76.0, 1.0, 0.2)
        .build(&site(), Model::new(Slip::Bubbly, Friction::Homogeneous))
        .unwrap();
    let low = best("ASTM D1785 Sch 40", 0.01);
    vec![
        (
            "submergence_ratio_low",
            at_peak(&riser(25.0, 1.0, 2.0), 1.0),
        ),
        ("bore_small", at_peak(&riser(8.0, 1.0, 0.2), 1.0)),
        ("bore_large", at_peak(&riser(150.0, 1.0, 0.2), 1.0)),
        ("riser_short", at_peak(&riser(100.0, 0.4, 0.05), 1.0)),
        ("annular_at_top", at_peak(&riser(25.0, 60.0, 1.0), 3.0)),
        ("outside_closure", at_peak(&bubbly, 1.0)),
        ("choked", choked()),
        (
            "outlet_head_unstated",
            at_peak(
                &built(spec(50.0, 1.0, 0.2).with_outlet(Outlet::OpenTop {
                    head: meters(0.0),
                    loss: none(),
                })),
                1.0,
            ),
        ),
        (
            "outlet_runs_full",
            at_peak(&built(spec(76.0, 1.0, 0.05).with_outlet(elbow)), 1.0),
        ),
        (
            "brink_reading",
            at_peak(&built(spec(76.0, 1.0, 0.05).with_outlet(elbow)), 1.0),
        ),
        (
            "salt_water",
            at_peak(
                &spec(50.0, 1.0, 0.2).build(&salt, Model::default()).unwrap(),
                1.0,
            ),
        ),
        (
            "air_line_inside",
            at_peak(
                &built(spec(50.0, 1.0, 0.2).with_air_line(meters(0.012))),
                1.0,
            ),
        ),
        ("runs_by_gravity", at_peak(&riser(50.0, 1.0, -0.1), 1.0)),
        ("low_on_curve", low.cautions()),
        ("short_at_low_water", low_water()),
        ("developing_length_decides", whole_search()),
        ("loss_of_air", low.safety()),
        ("gas_supersaturation", low.safety()),
        ("total_gas_pressure_above", too_deep()),
        ("enters_with_much_gas", much_gas()),
        ("air_in_plastic_pipe", low.safety()),
        ("mains_near_water", low.safety()),
        ("back_siphon", low.safety()),
        ("not_pressure_pipe", best("ASTM D2729", 1.0).cautions()),
        ("pipe_from_memory", from_memory()),
    ]
}

/// A new caution without a result here makes this fail.
#[cfg(all(feature = "report", feature = "files"))]
#[test]
fn every_caution_is_produced() {
    let mut found = of_risers_and_sizings();
    found.extend(crate::reported::all());
    alone(&found);
    let produced: std::collections::BTreeSet<&str> = found.iter().map(|(code, _)| *code).collect();
    let all: std::collections::BTreeSet<&str> = Caution::CODES.iter().copied().collect();
    assert_eq!(all.len(), Caution::CODES.len(), "a code stands for two");
    assert_eq!(produced, all, "produced here, and all that there are");
}

#[test]
fn cautions_of_risers_and_sizings() {
    alone(&of_risers_and_sizings());
}

/// Each result has its caution, nothing twice, and words for all.
fn alone(found: &[(&str, Vec<Caution>)]) {
    let mut failures = Vec::new();
    for (code, cautions) in found {
        if !cautions.iter().any(|caution| caution.code() == *code) {
            failures.push(format!("{code}: not in {cautions:?}"));
        }
        for (n, caution) in cautions.iter().enumerate() {
            let text = caution.to_string();
            if text.is_empty() || text.contains("NaN") || cautions[..n].contains(caution) {
                failures.push(format!("{code}: {caution:?}"));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn a_riser_of_the_published_kind_earns_none() {
    // 50 mm, 2.5 m of 3.5 m under water, at best efficiency.
    let riser = riser(50.0, 3.0, 1.0);
    let best = riser.best_efficiency().unwrap().unwrap();
    assert_eq!(riser.cautions(&Outcome::Pumping(best)), []);
}

#[test]
fn a_ratio_on_the_edge_of_the_data_is_within_them() {
    let low = |submergence: f64, lift: f64| {
        let riser = riser(25.4, submergence, lift);
        let peak = riser.peak().unwrap();
        let cautions = riser.cautions(&Outcome::Pumping(peak));
        cautions
            .iter()
            .any(|one| one.code() == "submergence_ratio_low")
    };
    // 0.7 m of 1.75 m is 0.4, and in binary a last bit less.
    assert!(!low(0.7, 1.05));
    assert!(low(0.69, 1.06));
}

/// Below 0.4 another closure is named; it holds down to the lowest ratio measured, 0.2.
#[test]
fn a_low_ratio_names_the_closure_for_it() {
    let texts = |slip: Slip, submergence: f64| {
        let riser = spec(25.4, submergence, 2.0 - submergence)
            .build(&site(), Model::new(slip, Friction::Homogeneous))
            .unwrap();
        let cautions = at_peak(&riser, 1.0);
        let low = cautions
            .into_iter()
            .filter(|one| one.code() == "submergence_ratio_low");
        low.map(|one| one.to_string()).collect::<Vec<_>>()
    };
    let advice = "outside the data: submergence ratio 0.35 is below 0.4; flow is uncertain there, even whether it starts: set model.slip = \"smith_drift\", the closure for such risers";
    for slip in Slip::ALL.iter().filter(|slip| **slip != Slip::SmithDrift) {
        assert_eq!(texts(*slip, 0.7), [advice], "{slip}");
    }
    assert!(texts(Slip::SmithDrift, 0.7).is_empty());
    assert!(texts(Slip::SmithDrift, 0.4).is_empty());
    assert_eq!(
        texts(Slip::SmithDrift, 0.3),
        [
            "outside the data: submergence ratio 0.15 is below 0.2; flow is uncertain there, even whether it starts"
        ]
    );
}
