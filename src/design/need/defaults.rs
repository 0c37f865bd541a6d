//! Which defaults of a need a file leaves in use.

use super::tank::{entering, limits};
use crate::design::layers::Layers;
use crate::keys::{OrNone, Row, need};
use crate::need::{Limits, defaults};

/// The names of the defaults that a tank leaves in use; those of what enters only where a limit asks for it.
pub(in crate::design) fn used_defaults(tank: &Layers) -> Vec<&'static str> {
    let set = limits(tank).unwrap_or(Limits::NONE);
    let warm = set == Limits::WARM_WATER;
    let of_set = |warm_one: &'static str, cool_one: &'static str| match set {
        Limits::NONE => None,
        _ if warm => Some(warm_one),
        _ => Some(cool_one),
    };
    let mut used = Vec::new();
    let open = |row: &Row| !tank.has(row);
    let mut take = |open: bool, name: Option<&'static str>| {
        used.extend(name.filter(|_| open));
    };
    let oxygen = if tank.usual(&need::BACTERIA) == Some(true) {
        defaults::OXYGEN_WITH_BACTERIA.name
    } else {
        defaults::OXYGEN_ANIMALS.name
    };
    take(open(&need::OXYGEN_PER_FEED), Some(oxygen));
    take(
        open(&need::TAN_PER_PROTEIN),
        Some(defaults::TAN_PER_PROTEIN.name),
    );
    take(
        open(&need::CARBON_DIOXIDE_PER_OXYGEN),
        Some(defaults::CARBON_DIOXIDE_PER_OXYGEN.name),
    );
    take(
        open(&need::SOLIDS_PER_FEED),
        Some(defaults::SOLIDS_PER_FEED.name),
    );
    let asked = |key| {
        tank.get(key)
            .map_or(set != Limits::NONE, |own: OrNone<_>| own.0.is_some())
    };
    let [oxygen, tan, ammonia, carbon_dioxide] = [
        &need::LEAST_OXYGEN,
        &need::TAN_LIMIT,
        &need::AMMONIA_LIMIT,
        &need::CARBON_DIOXIDE_LIMIT,
    ];
    let enters = |rows: &[&Row]| tank.with(rows).is_none();
    take(
        enters(&entering::OXYGEN) && asked(oxygen),
        Some(defaults::ENTERING_SATURATION.name),
    );
    take(
        enters(&entering::TAN) && (asked(tan) || asked(ammonia)),
        Some(defaults::ENTERING_TAN.name),
    );
    take(
        enters(&entering::CARBON_DIOXIDE) && asked(carbon_dioxide),
        Some(defaults::ENTERING_CARBON_DIOXIDE.name),
    );
    take(
        open(oxygen),
        of_set(defaults::OXYGEN_WARM.name, defaults::OXYGEN_COOL.name),
    );
    take(
        open(tan),
        of_set(defaults::TAN_WARM.name, defaults::TAN_COOL.name),
    );
    take(
        open(ammonia),
        of_set(defaults::AMMONIA_WARM.name, defaults::AMMONIA_COOL.name),
    );
    take(
        open(carbon_dioxide),
        of_set(
            defaults::CARBON_DIOXIDE_WARM.name,
            defaults::CARBON_DIOXIDE_COOL.name,
        ),
    );
    used
}
