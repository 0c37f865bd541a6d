//! What salt does to water: each property's ratio to fresh water at the same temperature.
//!
//! Salinity `s_g_per_kg` is the mass fraction of salt in g/kg, reference composition.

/// Density ratio ρ(S, t)/ρ(0, t) at atmospheric pressure.
///
/// [EOS-80](crate::references::UNESCO_1983), eq. (13); practical salinity by
/// [Millero et al. (2008)](crate::references::MILLERO_2008), S_P = S 35/35.165 04; temperature scale by
/// [Saunders (1990)](crate::references::SAUNDERS_1990).
pub(super) fn density_ratio(t_c: f64, s_g_per_kg: f64) -> f64 {
    // EOS-80 is written in IPTS-68: t₆₈ = 1.000 24 t₉₀.
    let t68_c = 1.000_24 * t_c;
    let s_p = s_g_per_kg * 35.0 / 35.165_04;
    eos_80_kg_per_m3(s_p, t68_c) / eos_80_kg_per_m3(0.0, t68_c)
}

/// Density of seawater at one atmosphere, kg/m³, from practical salinity and t₆₈ in °C.
///
/// [UNESCO (1983)](crate::references::UNESCO_1983), eqs. (13) and (14).
fn eos_80_kg_per_m3(s: f64, t: f64) -> f64 {
    let horner = |c: &[f64]| c.iter().rev().fold(0.0, |sum, k| sum * t + k);
    // ρ_w = 999.842594 + 6.793952e-2 t − 9.095290e-3 t² + 1.001685e-4 t³ − 1.120083e-6 t⁴
    //       + 6.536332e-9 t⁵                                                      (14)
    let rho_w = horner(&[
        999.842_594,
        6.793_952e-2,
        -9.095_290e-3,
        1.001_685e-4,
        -1.120_083e-6,
        6.536_332e-9,
    ]);
    // A = 8.24493e-1 − 4.0899e-3 t + 7.6438e-5 t² − 8.2467e-7 t³ + 5.3875e-9 t⁴
    let a = horner(&[
        8.244_93e-1,
        -4.089_9e-3,
        7.643_8e-5,
        -8.246_7e-7,
        5.387_5e-9,
    ]);
    // B = −5.72466e-3 + 1.0227e-4 t − 1.6546e-6 t²
    let b = horner(&[-5.724_66e-3, 1.022_7e-4, -1.654_6e-6]);
    // ρ = ρ_w + A S + B S^(3/2) + C S²,  C = 4.8314e-4                             (13)
    rho_w + a * s + b * s.powf(1.5) + 4.831_4e-4 * s * s
}

/// Viscosity ratio μ(S, t)/μ(0, t).
///
/// [Sharqawy et al. (2010)](crate::references::SHARQAWY_2010), eq. (22).
pub(super) fn viscosity_ratio(t_c: f64, s_g_per_kg: f64) -> f64 {
    // μ/μ_w = 1 + A S + B S²,  S in kg/kg
    // A = 1.541 + 1.998e-2 t − 9.52e-5 t²,  B = 7.974 − 7.561e-2 t + 4.724e-4 t²
    let s = s_g_per_kg / 1000.0;
    let a = 1.541 + 1.998e-2 * t_c - 9.52e-5 * t_c * t_c;
    let b = 7.974 - 7.561e-2 * t_c + 4.724e-4 * t_c * t_c;
    1.0 + a * s + b * s * s
}

/// Surface tension ratio σ(S, t)/σ(0, t).
///
/// [Nayar et al. (2014)](crate::references::NAYAR_2014), also IAPWS G14-19.
pub(super) fn surface_tension_ratio(t_c: f64, s_g_per_kg: f64) -> f64 {
    // σ/σ_w = 1 + 3.766e-4 S + 2.347e-6 S t,  S in g/kg
    1.0 + 3.766e-4 * s_g_per_kg + 2.347e-6 * s_g_per_kg * t_c
}

/// Vapour pressure ratio p_v(S)/p_v(0), by Raoult's law.
///
/// [Sharqawy et al. (2010)](crate::references::SHARQAWY_2010), section on vapour pressure.
pub(super) fn vapour_pressure_ratio(s_g_per_kg: f64) -> f64 {
    // p_v,w/p_v = 1 + 0.57357 S/(1000 − S),  S in g/kg
    1.0 / (1.0 + 0.573_57 * s_g_per_kg / (1000.0 - s_g_per_kg))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn eos_80_check_values_of_unesco_1983() {
        // UNESCO Technical Papers in Marine Science 44: S, t₆₈, ρ at p = 0, five decimals.
        let rows = [
            (0.0, 5.0, 999.966_75),
            (0.0, 25.0, 997.047_96),
            (35.0, 5.0, 1_027.675_47),
            (35.0, 25.0, 1_023.343_06),
        ];
        for (s, t68_c, expected) in rows {
            let got = eos_80_kg_per_m3(s, t68_c);
            assert!(
                (got - expected).abs() <= 0.5e-5,
                "S {s}, t68 {t68_c}: {got}, not {expected}"
            );
        }
    }
}
