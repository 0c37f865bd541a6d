//! The law on plain numbers.

/// One input of a measurement, in plain SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Estimate {
    pub value: f64,
    pub standard: f64,
    pub freedom: f64,
}

impl Estimate {
    /// Known without repeats (type B).
    pub const fn stated(value: f64, standard: f64) -> Self {
        Self {
            value,
            standard,
            freedom: f64::INFINITY,
        }
    }

    /// Mean of two or more repeats with its standard uncertainty s/√n (type A).
    pub fn repeated(values: &[f64]) -> Self {
        let n = count(values);
        Self {
            value: values.iter().sum::<f64>() / n,
            standard: standard_deviation(values) / n.sqrt(),
            freedom: n - 1.0,
        }
    }
}

/// Standard deviation of two or more repeats.
pub(crate) fn standard_deviation(values: &[f64]) -> f64 {
    let n = count(values);
    let mean = values.iter().sum::<f64>() / n;
    // s² = Σ (x − x̄)² / (n − 1)
    (values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()
}

#[allow(clippy::cast_precision_loss, reason = "repeats are few")]
pub(crate) fn count<T>(values: &[T]) -> f64 {
    values.len() as f64
}

/// A result with what each input contributes to it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Propagated {
    pub value: f64,
    pub standard: f64,
    pub freedom: f64,
    /// c_i u_i of each input, in the unit of the result, with its sign.
    pub contributions: Vec<f64>,
}

/// Propagates input uncertainties through a model; `correlation` lists the pairs that are not
/// independent, as (i, j, r_ij), each pair once.
///
/// The sensitivities are central differences over a thousandth of each standard uncertainty, so that
/// they are those of the first-order law. The degrees of freedom hold for independent inputs.
pub(crate) fn propagate(
    inputs: &[Estimate],
    correlation: &[(usize, usize, f64)],
    model: impl Fn(&[f64]) -> f64,
) -> Propagated {
    const STEP: f64 = 1e-3;
    let mut x: Vec<f64> = inputs.iter().map(|input| input.value).collect();
    let value = model(&x);
    let contributions: Vec<f64> = inputs
        .iter()
        .enumerate()
        .map(|(n, input)| {
            if input.standard == 0.0 {
                return 0.0;
            }
            let mut at = |offset: f64| {
                x[n] = input.value + offset;
                let y = model(&x);
                x[n] = input.value;
                y
            };
            let step = STEP * input.standard;
            // c u = (f(x + h u) − f(x − h u)) / 2h
            (at(step) - at(-step)) / (2.0 * STEP)
        })
        .collect();
    let freedoms = inputs.iter().map(|input| input.freedom);
    let (standard, freedom) = combine(contributions.iter().copied().zip(freedoms), |c| {
        correlation
            .iter()
            .map(|(i, j, r)| 2.0 * c[*i] * c[*j] * r)
            .sum()
    });
    Propagated {
        value,
        standard,
        freedom,
        contributions,
    }
}

/// Combined standard uncertainty and effective degrees of freedom of contributions c_i u_i, each
/// with its own; `crossed` gives what correlation adds to the variance.
pub(crate) fn combine(
    contributions: impl Iterator<Item = (f64, f64)>,
    crossed: impl Fn(&[f64]) -> f64,
) -> (f64, f64) {
    let (c, freedom): (Vec<f64>, Vec<f64>) = contributions.unzip();
    // u_c² = Σ (c_i u_i)² + 2 Σ_{i<j} c_i u_i c_j u_j r_ij; below zero by rounding only.
    let variance = (c.iter().map(|c| c * c).sum::<f64>() + crossed(&c)).max(0.0);
    // ν = u_c⁴ / Σ (c_i u_i)⁴/ν_i
    let spent: f64 = c.iter().zip(&freedom).map(|(c, nu)| c.powi(4) / nu).sum();
    let freedom = if spent > 0.0 {
        // Never below the least of the ν_i, but for rounding.
        (variance * variance / spent).max(freedom.iter().copied().fold(f64::INFINITY, f64::min))
    } else {
        f64::INFINITY
    };
    (variance.sqrt(), freedom)
}
