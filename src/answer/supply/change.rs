//! What shifts when something changes.

use crate::supply::{ChangeKind, Plant, Running, Shift, SolvedSupply};
use crate::units::Ratio;

facts! {
    /// What a change does.
    pub struct ShiftFacts {
        /// `all_levels`, `level`, `valved_off` or `fouled` (twice the injector's loss)
        #[schemars(with = "String")]
        pub change: ChangeKind = kind,
        /// the lift that changes, or `null` for all
        pub lift: Option<String> = lift.and_then(name),
        /// how far its water rises, or `null`
        pub level_rise_m: Option<f64> = shift.change.rise().map(|rise| rise.value),
        /// air of that lift over its air before
        pub own_air_over_before: Option<f64> = lift.filter(|n| closed != Some(*n)).and_then(air),
        /// the lift that loses most water
        pub hardest_hit_lift: Option<String> = hit.and_then(|(n, _)| name(n)),
        /// its water over its water before
        pub hardest_hit_water_over_before: Option<f64> =
            hit.map(|(_, share): (_, Ratio)| share.value),
        /// its air over its air before
        pub hardest_hit_air_over_before: Option<f64> = hit.and_then(|(n, _)| air(n)),
        /// water of all lifts over that before
        pub water_over_before: Option<f64> = shift.water_share(before).map(|share| share.value),
        /// air of each lift over its design, in the order of the lifts; `null` for one that is closed
        pub air_over_design: Vec<Option<f64>> = running.map_or_else(|_| Vec::new(), over_design),
        /// lifts that had air or lifted water before the change, and do not after it
        pub stopped: Vec<TeeFacts> = tees(shift.stopped(before)),
        /// lifts that run on, but would not start again once stopped
        pub would_not_restart: Vec<TeeFacts> = tees(shift.held()),
        /// why there is no answer, or `null`
        pub no_answer: Option<String> = running.err().map(ToString::to_string),
    }

    fn of(plant: &Plant, solved: &SolvedSupply, shift: &Shift) -> Self {
        let (before, branches) = (&solved.running, &solved.manifold.header().branches);
        let name = |n: usize| branches.get(n).map(|branch| branch.name.clone());
        let kind = ChangeKind::from(shift.change);
        let lift = shift.change.lift();
        let closed = lift.filter(|_| kind == ChangeKind::ValvedOff);
        let shares = shift.air_shares(before);
        let air = |n: usize| Some(shares.get(n).copied()??.value);
        let hit = shift.hardest_hit(before);
        let running = shift.running.as_ref();
        let tee = |running: &Running, n: usize| {
            let flow = running.split.branches.get(n)?;
            Some(TeeFacts {
                lift: name(n)?,
                air_mass_flow_kg_per_s: flow.air.kg_per_s(),
                header_pressure_pa: flow.header_pressure.pascal(),
                water_pressure_pa: flow.water_pressure.pascal(),
            })
        };
        let tees = |lifts: Vec<usize>| {
            let lifts = lifts.into_iter();
            running.map_or_else(
                |_| Vec::new(),
                |running| lifts.filter_map(|n| tee(running, n)).collect(),
            )
        };
        let over_design = |running: &Running| {
            let shares = plant.shares(running).into_iter().enumerate();
            let open = |n: usize| branches.get(n).is_some_and(|b| b.open) && closed != Some(n);
            shares
                .map(|(n, share)| open(n).then_some(share.value))
                .collect()
        };
    }

    /// A lift at its tee.
    pub struct TeeFacts {
        /// its name
        pub lift: String,
        /// its dry air
        pub air_mass_flow_kg_per_s: f64,
        /// pressure in the header at its tee, absolute
        pub header_pressure_pa: f64,
        /// pressure in the water at its injector, absolute
        pub water_pressure_pa: f64,
    }
}

impl ShiftFacts {
    pub(super) fn all(plant: &Plant, solved: &SolvedSupply) -> Vec<Self> {
        let shifts = solved.shifts.iter();
        shifts.map(|shift| Self::of(plant, solved, shift)).collect()
    }
}
