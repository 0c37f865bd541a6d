//! Fresh water at one standard atmosphere: density, viscosity and surface tension.

/// Critical temperature of water, K (IAPWS R12-08; IAPWS R1-76).
const T_CRITICAL_K: f64 = 647.096;

/// Density of liquid water at 101.325 kPa, kg/m³, from the temperature in K.
///
/// [IAPWS SR6-08(2011)](crate::references::IAPWS_SR6_08), specific volume at 0.1 MPa,
/// carried from 0.1 MPa to 101 325 Pa by the compressibility that its own equation gives at 20 °C.
pub(super) fn density_kg_per_m3(t_k: f64) -> f64 {
    // Reference values: R = 461.518 05 J/(kg K), T_R = 10 K, p₀ = 0.1 MPa, T_α = 593 K, T_β = 232 K.
    const R: f64 = 461.518_05;
    const T_R: f64 = 10.0;
    const P_0: f64 = 1e5;
    // (nᵢ, aᵢ) for i = 6 to 10 and (mᵢ, bᵢ) for i = 5 to 10.
    const A_5: f64 = 1.937_631_57e-2;
    const A: [(i32, f64); 5] = [
        (4, 6.744_584_46e3),
        (5, -2.225_216_04e5),
        (7, 1.002_312_47e8),
        (8, -1.635_521_18e9),
        (9, 8.322_996_58e9),
    ];
    const B: [(i32, f64); 6] = [
        (1, 5.785_452_92e-3),
        (2, -1.531_956_65e-2),
        (3, 3.113_378_59e-2),
        (4, -4.235_462_41e-2),
        (5, 3.387_135_07e-2),
        (6, -1.199_467_61e-2),
    ];
    // Isothermal compressibility at 293.15 K, 1/Pa; 4.4e-10 to 5.1e-10 over 0 to 40 °C, which
    // moves the density by less than 7e-8.
    const KAPPA_PER_PA: f64 = 4.589e-10;

    // α = T_R/(T_α − T),  β = T_R/(T − T_β)
    let alpha = T_R / (593.0 - t_k);
    let beta = T_R / (t_k - 232.0);
    // v = (R T_R/p₀) (a₅ + Σ aᵢ αⁿⁱ + Σ bᵢ βᵐⁱ)
    let sum_a: f64 = A.iter().map(|&(n, a)| a * alpha.powi(n)).sum();
    let sum_b: f64 = B.iter().map(|&(m, b)| b * beta.powi(m)).sum();
    let v = R * T_R / P_0 * (A_5 + sum_a + sum_b);
    // ρ(p) = (1/v) (1 + κ (p − p₀))
    1.0 / v * (1.0 + KAPPA_PER_PA * (101_325.0 - P_0))
}

/// Viscosity of water, Pa s, from density in kg/m³ and temperature in K.
///
/// [IAPWS R12-08](crate::references::IAPWS_R12_08) eqs. (10) to (12), tables 1 and 2, without the
/// critical enhancement, which is nil far from the critical point.
pub(super) fn viscosity_pa_s(rho: f64, t_k: f64) -> f64 {
    const RHO_CRITICAL: f64 = 322.0;
    const H: [f64; 4] = [1.677_52, 2.204_62, 0.636_656_4, -0.241_605];
    // (i, j, Hᵢⱼ)
    const H_IJ: [(i32, i32, f64); 21] = [
        (0, 0, 5.200_94e-1),
        (1, 0, 8.508_95e-2),
        (2, 0, -1.083_74),
        (3, 0, -2.895_55e-1),
        (0, 1, 2.225_31e-1),
        (1, 1, 9.991_15e-1),
        (2, 1, 1.887_97),
        (3, 1, 1.266_13),
        (5, 1, 1.205_73e-1),
        (0, 2, -2.813_78e-1),
        (1, 2, -9.068_51e-1),
        (2, 2, -7.724_79e-1),
        (3, 2, -4.898_37e-1),
        (4, 2, -2.570_40e-1),
        (0, 3, 1.619_13e-1),
        (1, 3, 2.573_99e-1),
        (0, 4, -3.253_72e-2),
        (3, 4, 6.984_52e-2),
        (4, 5, 8.721_02e-3),
        (3, 6, -4.356_73e-3),
        (5, 6, -5.932_64e-4),
    ];

    // T̄ = T/T_c,  ρ̄ = ρ/ρ_c
    let t = t_k / T_CRITICAL_K;
    let r = rho / RHO_CRITICAL;
    // μ̄₀ = 100 √T̄ / Σ Hᵢ/T̄ⁱ                                                      (11)
    let mu_0 = 100.0 * t.sqrt() / (H[0] + H[1] / t + H[2] / t.powi(2) + H[3] / t.powi(3));
    // μ̄₁ = exp(ρ̄ Σ Hᵢⱼ (1/T̄ − 1)ⁱ (ρ̄ − 1)ʲ)                                      (12)
    let sum: f64 = H_IJ
        .iter()
        .map(|&(i, j, h)| h * (1.0 / t - 1.0).powi(i) * (r - 1.0).powi(j))
        .sum();
    let mu_1 = (r * sum).exp();
    // μ = μ* μ̄₀ μ̄₁,  μ* = 1e-6 Pa s                                               (10)
    1e-6 * mu_0 * mu_1
}

/// Surface tension of water against its vapour, N/m, from the temperature in K.
///
/// [IAPWS R1-76(2014)](crate::references::IAPWS_R1_76) eq. (1).
pub(super) fn surface_tension_n_per_m(t_k: f64) -> f64 {
    // σ = B τ^μ (1 + b τ),  τ = 1 − T/T_c,  B = 235.8 mN/m, b = −0.625, μ = 1.256
    let tau = 1.0 - t_k / T_CRITICAL_K;
    235.8e-3 * tau.powf(1.256) * (1.0 - 0.625 * tau)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    #[test]
    fn viscosity_check_value_of_iapws_r12_08() {
        // Table 4, row 1, ten digits: ρ = 998 kg/m³, T = 298.15 K, 889.735100 µPa s.
        assert_relative_eq!(
            viscosity_pa_s(998.0, 298.15),
            889.735_100e-6,
            max_relative = 0.5e-6 / 889.735
        );
    }

    #[test]
    fn viscosity_at_the_density_of_iapws_95() {
        // All rows at once, to their nine digits: both columns from the same reference program.
        let rows = include_str!("../../tests/data/iapws_0_40.csv");
        let mut count = 0;
        for line in rows
            .lines()
            .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()))
        {
            let n: Vec<f64> = line.split(',').map(|n| n.parse().unwrap()).collect();
            // half of the ninth digit here, and of the density's (times 2.6, the largest slope)
            let tolerance = 0.5e-8 + 2.6 * 0.5e-8;
            assert_relative_eq!(
                viscosity_pa_s(n[1], n[0] + 273.15),
                n[2],
                max_relative = tolerance
            );
            count += 1;
        }
        assert_eq!(count, 201);
    }
}
