use risewater::Model;
use risewater::published::{Residual, Rig, Score};
use risewater::regime::FlowPattern;

use super::assert_says;

#[test]
fn bias_by_pattern() {
    let named = |n: usize| Rig::all()[n].name.as_str();
    assert_eq!(named(3), "Todoroki 1973, 50.6 mm, 6.8 m");
    assert_eq!(named(4), "Pickert 1932, 100 mm, 42 m");
    let row = |n: usize| {
        let all = Rig::all()[n].residuals(Model::default()).unwrap();
        let of = |pattern| {
            let own: Vec<Residual> = all
                .iter()
                .copied()
                .filter(|one| one.pattern == pattern)
                .collect();
            (
                100.0 * Score::of(&own).bias,
                f64::from(u32::try_from(own.len()).unwrap()),
            )
        };
        let (slug, churn) = (of(FlowPattern::Slug), of(FlowPattern::Churn));
        [
            100.0 * Score::of(&all).bias,
            slug.0,
            slug.1,
            churn.0,
            churn.1,
        ]
    };
    let [a, b, c, d, e] = row(0);
    assert_says!(
        "shortest of Kassab | +15 % | slug +17 % of 61 | churn +9 % of 24",
        a,
        b,
        c,
        d,
        e
    );
    let [a, b, c, d, e] = row(1);
    assert_says!(
        "middle of Kassab | +6 % | slug +8 % of 109 | churn -12 % of 13",
        a,
        b,
        c,
        d,
        e
    );
    let [a, b, c, d, e] = row(2);
    assert_says!(
        "longest of Kassab | +3 % | slug +4 % of 137 | churn -8 % of 19",
        a,
        b,
        c,
        d,
        e
    );
    let [a, b, c, _, none] = row(3);
    assert_says!("Todoroki | -3 % | slug -3 % of 44 | none", a, b, c);
    assert_eq!(none, 0.0);
    let [a, b, c, d, e] = row(4);
    assert_says!(
        "Pickert | +46 % | slug +45 % of 64 | churn +72 % of 2",
        a,
        b,
        c,
        d,
        e
    );
}
