//! Which defaults of a need a file leaves in use.

use crate::design::sections::GivenTank;
use crate::need::{Limits, defaults};

/// The names of the defaults that a tank leaves in use; those of what enters only where a limit asks for it.
pub(super) fn used_defaults(given: &GivenTank) -> Vec<&'static str> {
    let set = given.limits.unwrap_or(Limits::NONE);
    let warm = set == Limits::WARM_WATER;
    let of_set = |warm_one: &'static str, cool_one: &'static str| match set {
        Limits::NONE => None,
        _ if warm => Some(warm_one),
        _ => Some(cool_one),
    };
    let mut used = Vec::new();
    let mut take = |open: bool, name: Option<&'static str>| {
        used.extend(name.filter(|_| open));
    };
    let oxygen = if given.bacteria.unwrap_or(true) {
        defaults::OXYGEN_WITH_BACTERIA.name
    } else {
        defaults::OXYGEN_ANIMALS.name
    };
    take(given.oxygen_per_feed.is_none(), Some(oxygen));
    take(
        given.tan_per_protein.is_none(),
        Some(defaults::TAN_PER_PROTEIN.name),
    );
    take(
        given.carbon_dioxide_per_oxygen.is_none(),
        Some(defaults::CARBON_DIOXIDE_PER_OXYGEN.name),
    );
    take(
        given.solids_per_feed.is_none(),
        Some(defaults::SOLIDS_PER_FEED.name),
    );
    let (oxygen, tan) = (given.least_oxygen, given.tan_limit);
    let (ammonia, carbon_dioxide) = (given.ammonia_limit, given.carbon_dioxide_limit);
    let asked = |own: Option<bool>| own.unwrap_or(set != Limits::NONE);
    let asks_tan = asked(tan.map(|one| one.is_some())) || asked(ammonia.map(|one| one.is_some()));
    take(
        given.oxygen.is_none() && asked(oxygen.map(|one| one.is_some())),
        Some(defaults::ENTERING_SATURATION.name),
    );
    take(
        given.tan.is_none() && asks_tan,
        Some(defaults::ENTERING_TAN.name),
    );
    take(
        given.carbon_dioxide.is_none() && asked(carbon_dioxide.map(|one| one.is_some())),
        Some(defaults::ENTERING_CARBON_DIOXIDE.name),
    );
    take(
        oxygen.is_none(),
        of_set(defaults::OXYGEN_WARM.name, defaults::OXYGEN_COOL.name),
    );
    take(
        tan.is_none(),
        of_set(defaults::TAN_WARM.name, defaults::TAN_COOL.name),
    );
    take(
        ammonia.is_none(),
        of_set(defaults::AMMONIA_WARM.name, defaults::AMMONIA_COOL.name),
    );
    take(
        carbon_dioxide.is_none(),
        of_set(
            defaults::CARBON_DIOXIDE_WARM.name,
            defaults::CARBON_DIOXIDE_COOL.name,
        ),
    );
    used
}
