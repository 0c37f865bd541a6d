//! All closures on a grid of bores and velocities.

use risewater::friction::Friction;
use risewater::slip::Slip;
use risewater::two_phase::TwoPhase;
use risewater::units::{
    DynamicViscosity, Length, MassDensity, SurfaceTension, kilogram_per_cubic_meter, meter,
    newton_per_meter, pascal_second,
};

use crate::table::rows;
use crate::verdict::Verdict;
use crate::{gradient, section, void_fraction};

/// All closures on a grid, by an independent implementation printed to 12 digits; compared at 1e-9, as
/// its header says. Cells of the bubbly closure above its range are compared too: the number is still
/// what the formula gives. Friedel is left blank there without water.
#[test]
fn every_closure_on_the_grid() {
    let mut verdict = Verdict::default();
    for row in rows("closure_checks.csv") {
        let cell = |column: &str| row.optional(column);
        let bore_mm = cell("bore_mm").unwrap();
        let (j_l, j_g) = (cell("j_l_m_s").unwrap(), cell("j_g_m_s").unwrap());
        let section = TwoPhase {
            roughness: Length::new::<meter>(1.5e-6),
            liquid_density: MassDensity::new::<kilogram_per_cubic_meter>(998.2067),
            gas_density: MassDensity::new::<kilogram_per_cubic_meter>(1.193_588_538),
            liquid_viscosity: DynamicViscosity::new::<pascal_second>(0.001_001_6),
            gas_viscosity: DynamicViscosity::new::<pascal_second>(1.813_405_882e-5),
            surface_tension: SurfaceTension::new::<newton_per_meter>(0.072_736),
            ..section(bore_mm / 1000.0, j_l, j_g)
        };
        let mut check = |column: &str, got: f64| {
            if let Some(expected) = cell(column) {
                let what = format!("{bore_mm} mm, {j_l} and {j_g} m/s, {column}");
                verdict.relative(&what, expected, got, 1e-9);
            }
        };
        for slip in Slip::ALL {
            check(&format!("alpha_{slip}"), void_fraction(*slip, &section));
        }
        // V_d = j_g/α − C₀ j: the difference of two numbers up to seven times as large.
        let wide = void_fraction(Slip::KataokaIshii1987, &section);
        let c0 = 1.2 - 0.2 * (1.193_588_538_f64 / 998.2067).sqrt();
        check("v_d_kataoka_ishii_1987", j_g / wide - c0 * (j_l + j_g));
        let alpha = void_fraction(Slip::BhagwatGhajar2014, &section);
        check(
            "dpdz_homogeneous_pa_m",
            gradient(Friction::Homogeneous, &section, alpha),
        );
        check(
            "dpdz_slug_body_at_bg_alpha_pa_m",
            gradient(Friction::SlugBody, &section, alpha),
        );
        check(
            "dpdz_friedel_1979_pa_m",
            gradient(Friction::Friedel1979, &section, alpha),
        );
    }
    // 36 rows of 6 void fractions, a drift and 3 gradients, less 12 of Friedel without water.
    verdict.finish(36 * 10 - 12);
}
