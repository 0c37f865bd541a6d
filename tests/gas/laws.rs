//! What must hold for any gas in any water.

use proptest::prelude::*;
use risewater::gas::aeration::{
    Field, THETA, coefficient_at_20_c, field_transfer_rate, saturation_at_20_c,
    standard_transfer_rate,
};
use risewater::gas::{
    Conditions, Dissolved, Gas, SALINITY, Solubility, TEMPERATURE, saturation, total_gas_pressure,
    weiss_price_1980,
};
use risewater::units::{
    Pressure, Ratio, Volume, cubic_meter, kilogram_per_hour, milligram_per_liter, pascal,
    per_mille, ratio,
};

use crate::{atmospheres, celsius, hourly, mg_per_l, share};

prop_compose! {
    fn conditions()(
        t in TEMPERATURE.min..TEMPERATURE.max,
        s in SALINITY.min..SALINITY.max,
        p in 0.5..5.0,
    ) -> Conditions {
        Conditions::fresh(celsius(t), atmospheres(p)).with_salinity(Ratio::new::<per_mille>(s))
    }
}

fn solubility(conditions: &Conditions) -> Solubility {
    Solubility::new(conditions.temperature, conditions.salinity).unwrap()
}

proptest! {
    /// Twice the share of the gas, twice of it in the water; none of it, none.
    #[test]
    fn in_proportion_to_the_share(at in conditions(), x in 0.0..0.5, n in 0..4usize) {
        let gas = Gas::ALL[n];
        let c = |x: f64| solubility(&at).equilibrium(gas, share(x), at.pressure).unwrap().value;
        prop_assert!((c(2.0 * x) - 2.0 * c(x)).abs() <= 1e-15 * c(1.0));
        prop_assert_eq!(c(0.0), 0.0);
    }

    /// All but oxygen are in proportion to p − p_w; oxygen falls behind by less than 1 % at 5 atm.
    #[test]
    fn henrys_law(at in conditions(), n in 0..4usize) {
        let gas = Gas::ALL[n];
        let p_w = weiss_price_1980(at.temperature, at.salinity).unwrap().get::<pascal>();
        let c = |p_atm: f64| {
            let c = solubility(&at).equilibrium(gas, share(0.2), atmospheres(p_atm)).unwrap();
            c.value / (101_325.0 * p_atm - p_w)
        };
        let off = c(5.0) / c(1.0) - 1.0;
        if gas == Gas::Oxygen {
            prop_assert!((-0.01..0.0).contains(&off), "{}", off);
        } else {
            prop_assert!(off.abs() < 1e-12, "{}", off);
        }
    }

    /// Salt and warmth drive every gas out.
    #[test]
    fn less_in_warm_and_salt_water(t in 0.0..39.0, s in 0.0..39.0, n in 0..4usize) {
        let c = |t: f64, s: f64| {
            let at = Conditions::fresh(celsius(t), atmospheres(1.0));
            let at = at.with_salinity(Ratio::new::<per_mille>(s));
            saturation(Gas::ALL[n], &at).unwrap()
        };
        prop_assert!(c(t + 1.0, s) < c(t, s));
        prop_assert!(c(t, s + 1.0) < c(t, s));
    }

    /// Water at equilibrium with air at p has a total gas pressure of p. The mole fractions add up to
    /// 1.000 06, and the two vapour pressures differ by 1e-3 and by the salt of oxygen's, 2.2e-2 of at
    /// most 7.4 kPa in a fifth of the air: 35 Pa.
    #[test]
    fn total_gas_pressure_of_saturated_water(at in conditions()) {
        let dissolved = Dissolved::saturated(&at).unwrap();
        let found = total_gas_pressure(&dissolved, &solubility(&at), atmospheres(1.0)).unwrap();
        let p = at.pressure.get::<pascal>();
        let tolerance = 6.1e-5 * p + 35.0;
        prop_assert!((found.total.get::<pascal>() - p).abs() < tolerance, "{:?}", found);
        let sum: Pressure = found.partial.into_iter().sum();
        let total = (sum + found.vapour).get::<pascal>();
        prop_assert!((total / found.total.get::<pascal>() - 1.0).abs() < 1e-12);
        let excess = found.excess().get::<pascal>();
        let share = found.share().get::<ratio>();
        prop_assert!((101_325.0 * (share - 1.0) - excess).abs() < 1e-9 * p);
    }

    /// A test in clean fresh water that ends at the surface's saturation, brought to standard conditions
    /// and back to its own, gives V k (C* − C).
    #[test]
    fn there_and_back(t in 0.0..40.0, p in 0.6..1.1, k in 0.1..100.0, c in 0.0..6.0) {
        let at = Conditions::fresh(celsius(t), atmospheres(p));
        let volume = Volume::new::<cubic_meter>(3.0);
        let end = saturation(Gas::Oxygen, &at).unwrap();
        let standard = standard_transfer_rate(
            volume,
            coefficient_at_20_c(hourly(k), at.temperature, THETA).unwrap(),
            saturation_at_20_c(end, &at).unwrap(),
        )
        .unwrap();
        let field = Field::clean(at.temperature, at.pressure, mg_per_l(c));
        let back = field_transfer_rate(standard, &field).unwrap().get::<kilogram_per_hour>();
        let end = end.get::<milligram_per_liter>();
        prop_assert!((back / (3e-3 * k * (end - c)) - 1.0).abs() < 1e-12 * end / (end - c).abs());
    }
}

/// What β of salt stands for.
#[test]
fn salt_lowers_the_field_rate_by_its_saturation() {
    let field = Field::clean(celsius(28.0), atmospheres(1.0), mg_per_l(0.0));
    let salt = field.with_salinity(Ratio::new::<per_mille>(35.0)).unwrap();
    let rate = |field: &Field| {
        field_transfer_rate(crate::kg_per_h(1.0), field)
            .unwrap()
            .get::<kilogram_per_hour>()
    };
    let at = Conditions::fresh(celsius(28.0), atmospheres(1.0));
    let oxygen = |s: f64| {
        let at = at.with_salinity(Ratio::new::<per_mille>(s));
        saturation(Gas::Oxygen, &at)
            .unwrap()
            .get::<milligram_per_liter>()
    };
    assert!((rate(&salt) / rate(&field) - oxygen(35.0) / oxygen(0.0)).abs() < 1e-14);
}
