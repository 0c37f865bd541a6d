//! Low water: the caution where a duty is missed there, and the duty that holds there too.

use risewater::AirFlow;
use risewater::answer::{
    Answer as _, CurveAnswer, CurveTerms, DesignFacts, RejectedFacts, SizeAnswer, Terms,
};
use risewater::chart::MapCell;
use risewater::design::{DesignFile, EXAMPLE};
use risewater::report::UnitSystem;
use risewater::riser::{Dimensions, Riser};
use risewater::sizing::{MarginCase, Reason, Sizing, Task, size};
use risewater::units::*;

/// The example over a low lift, whose level falls as far as given.
fn design(fall: &str, more: &[&str]) -> DesignFile {
    let fall = format!("tank.level_fall={fall}");
    let shared = [
        "limits.standards=[\"ASTM D1785 Sch 40\"]",
        "limits.max_lifts=5",
        &fall,
    ];
    let all: Vec<String> = shared.iter().chain(more).map(|s| (*s).to_owned()).collect();
    DesignFile::parse_with(EXAMPLE, &all).unwrap()
}

fn m(meters: f64) -> Length {
    Length::new::<meter>(meters)
}

fn sized(problem: &Task) -> (Sizing, SizeAnswer) {
    let found = size(problem).unwrap();
    let answer = SizeAnswer::of(problem, &found, 1, &Terms::default(), None).unwrap();
    (found, answer)
}

/// The caution that low water takes the duty away.
fn low_water_caution(answer: &SizeAnswer) -> Option<String> {
    let mut cautions = answer.cautions.iter();
    let low = cautions.find(|one| one.code() == "short_at_low_water");
    low.map(ToString::to_string)
}

/// A riser with its water lower, made without the search.
fn lowered(riser: &Riser, fall: Length) -> Riser {
    let mut spec = *riser.spec();
    let Dimensions {
        bore,
        submergence,
        lift,
    } = spec.dimensions;
    spec.dimensions = Dimensions {
        bore,
        submergence: submergence - fall,
        lift: lift + fall,
    };
    riser.with_spec(spec).unwrap()
}

#[test]
fn a_duty_missed_at_low_water_is_told_with_the_air_that_would_hold_it() {
    let problem = design("50 mm", &[]).problem().unwrap();
    let (found, answer) = sized(&problem);
    let best = &found.designs[0];
    let low = lowered(&best.riser, problem.level_fall);
    let flow = low.operate(best.point.air).unwrap().water_flow();
    let share = problem.duty.water_flow / f64::from(best.lifts);
    let needed = low.air_for(share).unwrap().air;
    assert!(flow < share && needed > best.point.air);
    let text = low_water_caution(&answer).unwrap();
    let number = |rate: VolumeRate| format!("{:.3e}", rate.get::<liter_per_minute>());
    for rate in [flow, share, needed.volume_rate_at_20_c()] {
        let short: f64 = number(rate).parse().unwrap();
        assert!(text.contains(&format!(" {short} ")), "{short}: {text}");
    }
    assert!(text.contains("0.05 m below normal"), "{text}");
    assert!(!answer.duty.at_low_water);
}

#[test]
fn a_level_at_which_no_air_holds_the_duty_says_so() {
    let problem = design("1 m", &[]).problem().unwrap();
    let (found, answer) = sized(&problem);
    let best = &found.designs[0];
    let share = problem.duty.water_flow / f64::from(best.lifts);
    assert!(
        lowered(&best.riser, problem.level_fall)
            .air_for(share)
            .is_err()
    );
    let caution = low_water_caution(&answer).unwrap();
    assert!(
        caution.contains("no amount of air would be enough"),
        "{caution}"
    );
}

#[test]
fn a_duty_that_is_met_at_every_level_earns_no_caution() {
    let still = design("0 mm", &[]).problem().unwrap();
    assert_eq!(low_water_caution(&sized(&still).1), None);
    let problem = design("50 mm", &["duty.at_low_water=true"])
        .problem()
        .unwrap();
    assert_eq!(low_water_caution(&sized(&problem).1), None);
}

#[test]
fn with_the_key_designs_hold_the_duty_at_low_water_within_the_limits_there() {
    let problem = design("0.2 m", &["duty.at_low_water=true"])
        .problem()
        .unwrap();
    let reserve = problem.peak_reserve.get::<ratio>();
    let found = size(&problem).unwrap();
    assert!(found.designs.len() > 10);
    for design in &found.designs {
        let share = problem.duty.water_flow / f64::from(design.lifts);
        let low = lowered(&design.riser, problem.level_fall);
        let peak = low.peak().unwrap();
        let point = low.operate(design.point.air).unwrap();
        // The same flow, solved the other way round.
        assert!(((point.water_flow() / share).get::<ratio>() - 1.0).abs() < 1e-6);
        assert!(share <= peak.water_flow * (1.0 - reserve) * (1.0 + 1e-12));
        assert!(design.point.air <= peak.air);
        // The rest is at the normal level, which gives more.
        assert!(design.point.water_flow > share);
        let again = design.riser.operate(design.point.air).unwrap();
        assert_eq!(again.water_flow(), design.point.water_flow);
        assert_eq!(design.riser.peak().unwrap(), design.peak);
    }
    let margins = found.designs[0].margins(&problem).unwrap();
    let low = margins
        .iter()
        .find(|margin| margin.case == MarginCase::LowWater)
        .unwrap();
    assert!(!found.designs[0].is_short(&problem, low.outcome.water_flow()));
    assert_eq!(low.air_needed, Some(found.designs[0].point.air));
}

#[test]
fn the_key_rejects_with_numbers_what_holds_at_the_normal_level_alone() {
    let fall = "0.2 m";
    let free = design(fall, &[]).problem().unwrap();
    let held = design(fall, &["duty.at_low_water=true"]).problem().unwrap();
    let ((_, without), (_, with)) = (sized(&free), sized(&held));
    assert!(with.designs.len() < without.designs.len());
    assert_eq!(with.solved, without.solved);
    let low = |one: &RejectedFacts| matches!(one.reason, Reason::AtLowWater(_));
    assert!(with.rejected.iter().any(low));
    for one in &with.rejected {
        assert!(one.reason.nearness() <= 1.0, "{one:?}");
        assert_ne!(one.reason.code(), "unsolved");
    }
    let text = with.full_text(UnitSystem::Metric, 5);
    for words in [
        "at low water too: 0.2 m lower",
        "Air each is what the duty takes at low water",
        ", the duty\n",
        "at low water: ",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(
        !without
            .full_text(UnitSystem::Metric, 5)
            .contains("at low water")
    );
    // Each kind of reason has its own line and nearest miss.
    let kinds = |found: &SizeAnswer| -> Vec<&'static str> {
        let mut codes: Vec<_> = found
            .rejected
            .iter()
            .map(|one| match &one.reason {
                Reason::AtLowWater(there) => there.code(),
                other => other.code(),
            })
            .collect();
        codes.sort_unstable();
        codes.dedup();
        codes
    };
    let lines = with.rejected_text(UnitSystem::Metric).lines().count();
    assert_eq!(lines, "\nRejected\n".lines().count() + kinds(&with).len());
    // What cannot be built is no matter of the duty.
    assert!(kinds(&with).contains(&"cannot_be") && !text.contains("at low water: submergence"));
    let json = with.json();
    assert_eq!(json["duty"]["at_low_water"], true);
    assert!(json["rejected"].to_string().contains("\"at_low_water\""));
}

#[test]
fn without_a_fall_the_key_changes_nothing() {
    let free = design("0 mm", &[]).problem().unwrap();
    let held = design("0 mm", &["duty.at_low_water=true"])
        .problem()
        .unwrap();
    let (without, with) = (size(&free).unwrap(), size(&held).unwrap());
    let all = |found: &risewater::sizing::Sizing| -> Vec<_> {
        let designs = found.designs.iter();
        designs
            .map(|one| (one.pipe.name.clone(), one.lifts, one.point.air))
            .collect()
    };
    assert_eq!(all(&without), all(&with));
}

#[test]
fn the_key_needs_to_know_how_far_the_level_falls() {
    let text = EXAMPLE.replace("level_fall", "# level_fall");
    let changes = ["duty.at_low_water=true".to_owned()];
    let refused = DesignFile::parse_with(&text, &changes).unwrap().problem();
    let error = refused.unwrap_err().to_string();
    assert!(error.contains("tank.level_fall: missing"), "{error}");
    let wrong = ["duty.at_low_water=\"yes\"".to_owned()];
    let error = DesignFile::parse_with(&text, &wrong)
        .unwrap_err()
        .to_string();
    assert!(error.contains("true or false"), "{error}");
}

/// A curve at another level is that of the riser with as much less depth and more lift; one below the inlet is refused.
#[test]
fn a_curve_at_another_level_is_that_of_the_riser_there() {
    let design = DesignFile::parse(EXAMPLE).unwrap();
    let (riser, air) = design.riser_and_air().unwrap();
    assert_eq!(design.levels().unwrap(), [m(-0.05), m(0.05)]);
    let at = |levels: &[Length]| {
        let asked = CurveTerms {
            points: 6,
            levels,
            air: Some(air),
            ..CurveTerms::default()
        };
        CurveAnswer::of(&riser, &asked, &Terms::default())
    };
    let found = at(&[m(-0.3), m(0.0)]).unwrap();
    for (level, fall) in found.levels.iter().zip([0.3, 0.0]) {
        let there = lowered(&riser, m(fall));
        let water = there.operate(air).unwrap().water_flow().value;
        assert!((level.water_flow_m3_per_s.unwrap() / water - 1.0).abs() < 1e-9);
        for point in &level.points {
            let air = AirFlow::from_dry_mass(MassRate::new::<kilogram_per_second>(
                point.point.air_mass_flow_kg_per_s,
            ))
            .unwrap();
            let water = there.operate(air).unwrap().water_flow().value;
            assert!((point.point.water_flow_m3_per_s / water - 1.0).abs() < 1e-7);
        }
        let interval = level.interval.unwrap();
        assert!(interval.low_m3_per_s < water && water < interval.high_m3_per_s);
    }
    let low = found.levels[0].water_flow_m3_per_s;
    assert!(low < found.levels[1].water_flow_m3_per_s);
    let dry = at(&[m(-1.2)]).unwrap_err().to_string();
    assert!(
        dry.starts_with("submergence (1.2 m) must be more than"),
        "{dry}"
    );
}

/// Each cell of the map has the least of its designs, or the reason of the one that came nearest.
#[test]
fn the_map_of_a_search_is_the_search() {
    let design = DesignFile::parse(EXAMPLE).unwrap();
    let (_, found) = sized(&design.problem().unwrap());
    let map = found.map(UnitSystem::Metric, 1000);
    let least = found.best().unwrap().injection_power_total_w;
    assert_eq!(map.rows.len() * map.columns.len() * 8, found.candidates);
    let (mut met, mut not) = (0, 0);
    let mut pipes: Vec<(f64, &str)> = found
        .rejected
        .iter()
        .map(|r| (r.bore_m, &*r.pipe))
        .collect();
    pipes.extend(found.designs.iter().map(|d| (d.bore_m, &*d.pipe)));
    pipes.sort_by(|a, b| a.partial_cmp(b).unwrap());
    pipes.dedup();
    for (row, depth) in map.rows.iter().enumerate() {
        let depth: f64 = depth.parse().unwrap();
        for (column, (_, pipe)) in pipes.iter().enumerate() {
            let here = |d: &&DesignFacts| d.pipe == *pipe && (d.submergence_m - depth).abs() < 1e-9;
            let powers = found
                .designs
                .iter()
                .filter(here)
                .map(|d| d.injection_power_total_w);
            match map.cells[row][column] {
                MapCell::Meets(excess) => {
                    let power = powers.fold(f64::INFINITY, f64::min);
                    assert!((power / least - 1.0 - excess).abs() < 1e-12);
                    met += 1;
                }
                MapCell::Fails(reason) => {
                    assert_eq!(powers.count(), 0);
                    assert!(reason < map.reasons.len());
                    not += 1;
                }
            }
        }
    }
    assert!(met > 300 && not > 100, "{met} {not}");
    assert!(
        map.chosen
            .is_some_and(|(r, c)| map.cells[r][c] == MapCell::Meets(0.0))
    );
    let few = found.map(UnitSystem::Us, 7);
    assert!(few.rows.len() <= 7 && few.chosen.is_some());
    let text = found.map(UnitSystem::Metric, 30).text();
    assert!(
        text.lines().all(|line| line.chars().count() <= 92),
        "{text}"
    );
    for svg in [map.svg(), map.narrow_svg(), few.svg()] {
        roxmltree::Document::parse(&svg).unwrap();
    }
}

/// A best design outside the data says so at once, with the best inside; wider pipes can be left out.
#[test]
fn a_best_design_outside_the_data_is_told_first() {
    let set = |more: &[&str]| {
        let all: Vec<String> = more.iter().map(|one| (*one).to_owned()).collect();
        DesignFile::parse_with(EXAMPLE, &all)
            .unwrap()
            .problem()
            .unwrap()
    };
    let wide = [
        "limits.max_lifts=2",
        "limits.peak_reserve=0.4",
        "duty.lift=0.05 m",
    ];
    let (found, answer) = sized(&set(&wide));
    let best = found.best().unwrap();
    assert!(best.pipe.bore() > Length::new::<millimeter>(101.0));
    assert_eq!(answer.designs[0].outside_data[0], "a wide bore");
    for text in [
        answer.text(UnitSystem::Metric, 3),
        answer.full_text(UnitSystem::Metric, 3),
    ] {
        let below = text.lines().nth(1).unwrap();
        assert!(below.starts_with("Inside    measured data: "), "{text}");
    }
    let narrow = set(&[&wide[..], &["limits.max_bore=101 mm", "limits.min_lifts=2"]].concat());
    assert!(
        narrow
            .pipes
            .iter()
            .all(|pipe| pipe.bore() <= Length::new::<millimeter>(101.0))
    );
    assert_eq!((narrow.min_lifts, narrow.max_lifts), (2, 2));
    let all = set(&wide).pipes.len();
    assert!(narrow.pipes.len() < all && narrow.pipes.len() > 5);
    let (_, answer) = sized(&set(&[]));
    assert!(answer.best_inside_data.is_none());
    assert!(
        !answer
            .text(UnitSystem::Metric, 3)
            .contains("Inside    measured")
    );
}
