//! Rows side by side: each as its own file has it, and what is wrong of one row alone.

use std::path::Path;

use risewater::design::{DesignFile, EXAMPLE, FileError};
use risewater::sweep::{Asked, Cells, Given, Options, Solved, Sweep};

fn sweep(rows: u64, given: Vec<(&str, Given)>) -> Result<Sweep, FileError> {
    DesignFile::side_by_side(EXAMPLE, &[], (rows, given), true, Path::new(""))
}

fn numbers<'a>(solved: &'a Solved, name: &str) -> &'a [f64] {
    let mut all = solved.columns.iter();
    let Some((_, Cells::Numbers(found))) = all.find(|(own, _)| *own == name) else {
        panic!("no numbers of {name}");
    };
    found
}

fn codes(solved: &Solved) -> Vec<(u64, &'static str)> {
    let refusals = solved.refusals.iter();
    refusals.map(|one| (one.row, one.error.code())).collect()
}

#[test]
fn each_row_is_what_its_own_file_says() {
    let pipes = ["ASTM D1785 Sch 40 2 in", "ASTM D1785 Sch 40 3 in"];
    let given = vec![
        (
            "riser.pipe",
            Given::Names(pipes.map(str::to_owned).to_vec(), vec![1, 0, 1]),
        ),
        ("riser.submergence", Given::Numbers(vec![0.9, 1.0, 1.1])),
    ];
    let solved = sweep(3, given)
        .unwrap()
        .solve(Asked::Flow, &Options::default())
        .unwrap();
    for (row, (pipe, depth)) in [(1, "0.9 m"), (0, "1 m"), (1, "1.1 m")]
        .into_iter()
        .enumerate()
    {
        let set = [
            format!("riser.pipe={}", pipes[pipe]),
            format!("riser.submergence={depth}"),
        ];
        let (riser, air) = DesignFile::parse_with(EXAMPLE, &set)
            .unwrap()
            .riser_and_air()
            .unwrap();
        let due = riser
            .operate(air)
            .unwrap()
            .point()
            .unwrap()
            .water_flow
            .value;
        // As closely as the solver finds a water velocity.
        approx::assert_relative_eq!(
            numbers(&solved, "water_flow_m3_per_s")[row],
            due,
            max_relative = 1e-10
        );
    }
    assert!(solved.refusals.is_empty());
}

#[test]
fn what_is_wrong_of_a_row() {
    let flow = |depths: Vec<f64>, asked| {
        let rows = depths.len() as u64;
        let given = vec![("riser.submergence", Given::Numbers(depths))];
        sweep(rows, given)
            .unwrap()
            .solve(asked, &Options::default())
            .unwrap()
    };
    let solved = flow(vec![1.0, -1.0, f64::NAN, 1.1], Asked::Flow);
    assert_eq!(codes(&solved), [(1, "out_of_range"), (2, "not_finite")]);
    let water = numbers(&solved, "water_flow_m3_per_s");
    assert!(water[0] > 0.0 && water[1].is_nan() && water[2].is_nan() && water[3] > water[0]);
    // A row for which nobody wants water.
    let solved = flow(vec![1.0, 1.0], Asked::AirFor(&[1e-3]));
    assert_eq!(codes(&solved), [(1, "not_finite")]);
    // A name that is none of those given, and a key without a value for each row.
    for (given, words) in [
        (
            Given::Names(vec!["plain".to_owned()], vec![0, 1]),
            "a name that is not among those given",
        ),
        (
            Given::Names(vec!["plain".to_owned()], vec![0]),
            "must have a value for each row",
        ),
    ] {
        let error = sweep(2, vec![("riser.outlet", given)])
            .unwrap_err()
            .to_string();
        assert!(error.contains(words), "{error}");
    }
}
