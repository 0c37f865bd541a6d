//! Boundaries of the flow patterns, and drift velocities.

use risewater::regime::{mishima_ishii_1984, taitel_1980};
use risewater::slip::Slip;
use risewater::units::{Velocity, meter, meter_per_second, ratio};

use crate::table::rows;
use crate::verdict::{EIGHT_DIGITS, Verdict};
use crate::{section, void_fraction};

/// Drift velocity V_d = j_g/α − C₀ j of a closure in still water.
fn drift_velocity(slip: Slip, c0: f64, bore_m: f64) -> f64 {
    let j_g = 0.01;
    j_g / void_fraction(slip, &section(bore_m, 0.0, j_g)) - c0 * j_g
}

/// Regime boundaries and drift velocities of regimes.csv, to the eight digits printed.
///
/// Left out: bubble rise velocities of authors that no closure uses, dimensionless groups, Mishima & Ishii's
/// bubble–slug line, annular criterion and bore, which the flow pattern does not use.
#[test]
fn regime_boundaries() {
    let mut verdict = Verdict::default();
    let ishii_c0 = 1.2 - 0.2 * (1.20458_f64 / 998.2072).sqrt();
    for row in rows("regimes.csv") {
        let bore = row.optional("D_m").unwrap_or(0.05);
        let arg = row.optional("arg").unwrap_or(0.1);
        // The argument is the gas velocity of a line in the plane of velocities, else the mixture's.
        let gas = section(bore, 0.0, arg);
        let mixture = section(bore, 0.5 * arg, 0.5 * arg);
        let speed = |velocity: Velocity| velocity.get::<meter_per_second>();
        let mut tolerance = EIGHT_DIGITS;
        let got = match row.text("quantity") {
            "tbd_min_diameter_bubbly" => taitel_1980::minimum_bubbly_bore(&gas)
                .unwrap()
                .get::<meter>(),
            "tbd_bubble_slug_jl" => speed(taitel_1980::bubble_slug_liquid_velocity(&gas).unwrap()),
            "tbd_packing_jl" => speed(taitel_1980::packing_liquid_velocity(&gas).unwrap()),
            "tbd_annular_jg" => speed(taitel_1980::annular_gas_velocity(&gas).unwrap()),
            "dispersed_bubble_mixture_velocity" => {
                speed(taitel_1980::dispersed_bubble_velocity(&gas).unwrap())
            }
            "churn_entry_length_over_D" => {
                (taitel_1980::churn_entry_length(&mixture).unwrap() / mixture.bore).get::<ratio>()
            }
            "slug_churn_alpha" => mishima_ishii_1984::slug_churn_void_fraction(&mixture)
                .unwrap()
                .get::<ratio>(),
            "taylor_Fr_nickens_yannitell" => {
                drift_velocity(Slip::Reinemann1990, 1.2, bore) / (9.80665 * bore).sqrt()
            }
            "harmathy_rise_velocity" => {
                // α = j_g/(C₀ j + V √(1 − α)) solved for V
                let alpha = void_fraction(Slip::Bubbly, &gas);
                (arg / alpha - ishii_c0 * arg) / (1.0 - alpha).sqrt()
            }
            "kataoka_ishii_vgj" => {
                // Two differences by design. The rows let N_μ = 2.2507e-3 pass the source's switch at
                // 2.25e-3, and use the source's rounded 0.030 for 0.0019 · 30^0.809 in wide bores.
                let viscous = (2.250_732_2_f64 / 2.25).powf(0.562) - 1.0;
                let wide = 0.030 / (0.0019 * 30_f64.powf(0.809)) - 1.0;
                tolerance = viscous + if arg >= 30.0 { wide } else { EIGHT_DIGITS };
                drift_velocity(Slip::KataokaIshii1987, ishii_c0, bore)
            }
            _ => continue,
        };
        let what = format!(
            "{} {} D {} arg {}",
            row.text("id"),
            row.text("quantity"),
            row.text("D_m"),
            row.text("arg")
        );
        verdict.relative(&what, row.optional("value").unwrap(), got, tolerance);
    }
    // 1 least bore, 4 lines A, 4 lines C, 1 line E, 8 dispersed, 44 entry lengths, 32 slug to churn,
    // 11 Nickens & Yannitell, 1 Harmathy, 8 Kataoka & Ishii.
    verdict.finish(1 + 4 + 4 + 1 + 8 + 44 + 32 + 11 + 1 + 8);
}
