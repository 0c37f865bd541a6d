//! Oxygen saturation and un-ionised ammonia until the gas module is there.

pub(super) fn saturation_mg_l(t: f64, s: f64, p_atm: f64) -> f64 {
    let k = t + 273.15;
    let c = (-139.344_11 + 1.575_701e5 / k - 6.642_308e7 / k.powi(2) + 1.243_8e10 / k.powi(3)
        - 8.621_949e11 / k.powi(4)
        - s * (1.7674e-2 - 10.754 / k + 2140.7 / k.powi(2)))
    .exp();
    let pw = (11.8571 - 3840.70 / k - 216_961.0 / k.powi(2)).exp();
    let th = 0.000_975 - 1.426e-5 * t + 6.436e-8 * t * t;
    c * p_atm * (1.0 - pw / p_atm) * (1.0 - th * p_atm) / ((1.0 - pw) * (1.0 - th))
}

pub(super) fn ammonia_fraction(t: f64, ph: f64) -> f64 {
    1.0 / (1.0 + 10f64.powf(0.090_18 + 2729.92 / (t + 273.15) - ph))
}
