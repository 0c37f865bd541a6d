//! Gases of a tank's water by published formulas, written here for the tests alone.

use risewater::Error;
use risewater::need::{Gases, TankWater};
use risewater::units::{
    MassConcentration, Ratio, degree_celsius, kelvin, kilopascal, milligram_per_liter, per_mille,
    ratio,
};

/// Oxygen by Benson & Krause (1984) with the pressure factor of USGS memorandum 2011.03; carbon dioxide by
/// Weiss (1974), by volume of water, of air with 420 parts in a million; ammonia by Emerson et al. (1975).
/// All read in open transcriptions.
#[allow(clippy::unnecessary_wraps, reason = "the shape that the library takes")]
pub fn gases(water: &TankWater) -> Result<Gases, Error> {
    let (t, k) = (
        water.temperature.get::<degree_celsius>(),
        water.temperature.get::<kelvin>(),
    );
    let s = water.salinity.get::<per_mille>();
    let p = water.atmosphere.get::<kilopascal>() / 101.325;
    // ln C = −139.34411 + 1.575701e5/T − 6.642308e7/T² + 1.243800e10/T³ − 8.621949e11/T⁴
    //        − S (1.7674e-2 − 10.754/T + 2140.7/T²)
    let at_one = (-139.344_11 + 1.575_701e5 / k - 6.642_308e7 / k.powi(2)
        + 1.243_800e10 / k.powi(3)
        - 8.621_949e11 / k.powi(4)
        - s * (1.7674e-2 - 10.754 / k + 2140.7 / k.powi(2)))
    .exp();
    // ln P_w = 11.8571 − 3840.70/T − 216961/T²,  θ = 0.000975 − 1.426e-5 t + 6.436e-8 t²
    let p_w = (11.8571 - 3840.70 / k - 216_961.0 / k.powi(2)).exp();
    let theta = 0.000_975 - 1.426e-5 * t + 6.436e-8 * t.powi(2);
    // C(p)/C(1) = p (1 − P_w/p) (1 − θ p) / ((1 − P_w) (1 − θ))
    let factor = p * (1.0 - p_w / p) * (1.0 - theta * p) / ((1.0 - p_w) * (1.0 - theta));
    // ln K0 = −58.0931 + 90.5069 (100/T) + 22.2940 ln(T/100)
    //         + S (0.027766 − 0.025888 (T/100) + 0.0050578 (T/100)²)
    let h = k / 100.0;
    let k0 = (-58.0931
        + 90.5069 / h
        + 22.2940 * h.ln()
        + s * (0.027_766 - 0.025_888 * h + 0.005_057_8 * h.powi(2)))
    .exp();
    // f = 1/(1 + 10^(pKa − pH)),  pKa = 0.09018 + 2729.92/T
    let f = 1.0 / (1.0 + 10f64.powf(0.090_18 + 2729.92 / k - water.ph.get::<ratio>()));
    let mg_l = MassConcentration::new::<milligram_per_liter>;
    Ok(Gases {
        oxygen_saturation: mg_l(at_one * factor),
        carbon_dioxide_of_air: mg_l(k0 * 420e-6 * (p - p_w) * 44_009.5),
        ammonia_fraction: Some(Ratio::new::<ratio>(f)),
    })
}
