//! An aeration test reduced to standard conditions.

use crate::caution::Caution;
use crate::error::Error;
use crate::gas::aeration::ProbeTransfer;
use crate::transfer::{Aeration, OwnCoefficient};
use crate::units::{Frequency, Ratio, percent};

/// A value and its limits of 95 %.
macro_rules! limits {
    ($of:expr) => {{
        let (low, high) = $of.interval(Ratio::new::<percent>(95.0))?;
        [$of.value.value, low.value, high.value]
    }};
}

facts! {
    /// An aeration test reduced to standard conditions. Limits hold the true value with 95 %, by the scatter of the readings
    /// alone.
    pub struct AerationAnswer {
        /// what each probe says
        pub probes: Vec<ProbeFacts> = named()
            .map(|(name, probe)| ProbeFacts::of(name, probe))
            .collect::<Result<_, _>>()?,
        /// standard oxygen transfer rate, the mean over the probes
        pub sotr_kg_per_s: f64 = rate,
        /// its lower limit
        pub sotr_low_kg_per_s: f64 = low,
        /// its upper limit
        pub sotr_high_kg_per_s: f64 = high,
        /// standard deviation of the probes' rates over their mean, or `null` with one probe
        pub probe_spread: Option<f64> = standard.spread.map(|share| share.value),
        /// standard aeration efficiency, or `null` without a power
        pub sae_kg_per_j: Option<f64> = found.efficiency.map(|it| it.value.value),
        /// what that power is: `wire`, `shaft` or `air`
        pub power_kind: Option<String> = found.efficiency.map(|it| it.power.to_string()),
        /// share of the air's oxygen that went into the water, or `null` without an air flow
        pub sote: Option<f64> = found.share_of_air.map(|share| share.value),
        /// oxygen transfer rate where the aerator is to work, or `null`
        pub field_rate_kg_per_s: Option<f64> = found.field_rate.map(|rate| rate.value),
        /// temperature of the water during the test
        pub water_temperature_k: f64 = found.bench.test.conditions.temperature.value,
        /// the riser's own transfer coefficient, or `null`
        pub riser: Option<RiserCoefficientFacts> = own.map(RiserCoefficientFacts::of),
        /// why the riser has no such coefficient, or `null`
        pub riser_no_answer: Option<String> = no_own,
        /// what the readings make doubtful
        pub warnings: Vec<String> = warnings.collect(),
        /// cautions, and dangers
        pub cautions: Vec<Caution> = found.cautions(),
    }

    /// What a test says.
    ///
    /// # Errors
    /// As [`Uncertain::interval`](crate::measurement::Uncertain::interval).
    ///
    /// # Examples
    /// ```
    /// # #[cfg(feature = "files")] {
    /// use risewater::answer::AerationAnswer;
    /// use risewater::design::{AERATION_EXAMPLE, DesignFile};
    /// use risewater::gas::aeration::DEMO_READINGS;
    /// use risewater::transfer::Aeration;
    ///
    /// let design = DesignFile::parse(AERATION_EXAMPLE)?.with_readings(DEMO_READINGS);
    /// let found = AerationAnswer::of(&Aeration::of(design.aeration()?)?)?;
    /// // What the readings were made from, 18 °C and 240 m: 0.7 m³ × 2.4/h × 1.024² × 9.30 mg/L × 9.092/9.195
    /// assert_eq!(format!("{:.4} kg/h", 3600.0 * found.sotr_kg_per_s), "0.0162 kg/h");
    /// # }
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(found: &Aeration) -> Result<Self, Error> {
        let standard = &found.standard;
        let named = || found.bench.names.iter().zip(&standard.probes);
        let warnings = named().flat_map(|(name, probe)| {
            let warnings = probe.fit.warnings().into_iter();
            warnings.map(move |warning| format!("probe {name}: {warning}"))
        });
        let [rate, low, high] = limits!(standard.rate);
        let (own, no_own) = match &found.riser {
            Some(Ok(own)) => (Some(own), None),
            Some(Err(why)) => (None, Some(why.to_string())),
            None => (None, None),
        };
    }

    /// What one probe says.
    pub struct ProbeFacts {
        /// its name
        pub probe: String = name.to_owned(),
        /// number of its readings
        pub readings: usize = fit.readings,
        /// kLa of the tank
        pub kla_per_s: f64 = k[0],
        /// its lower limit
        pub kla_low_per_s: f64 = k[1],
        /// its upper limit
        pub kla_high_per_s: f64 = k[2],
        /// oxygen that the water approaches in the end, C*
        pub saturation_kg_per_m3: f64 = end[0],
        /// its lower limit
        pub saturation_low_kg_per_m3: f64 = end[1],
        /// its upper limit
        pub saturation_high_kg_per_m3: f64 = end[2],
        /// oxygen of the fitted curve at the first reading
        pub start_kg_per_m3: f64 = fit.start.value.value,
        /// standard deviation of the readings about the curve
        pub scatter_kg_per_m3: f64 = fit.scatter.value,
        /// kLa in standard conditions
        pub kla_20c_per_s: f64 = probe.coefficient_at_20_c.value,
        /// C* in standard conditions
        pub saturation_20c_kg_per_m3: f64 = probe.saturation_at_20_c.value,
        /// this probe's standard oxygen transfer rate
        pub sotr_kg_per_s: f64 = probe.rate.value.value,
    }

    fn of(name: &str, probe: &ProbeTransfer) -> Result<Self, Error> {
        let fit = &probe.fit;
        let (k, end) = (limits!(fit.coefficient), limits!(fit.saturation));
    }

    /// A riser's own transfer coefficient by an aeration test, at the temperature of the test.
    #[derive(Copy)]
    pub struct RiserCoefficientFacts {
        /// transfer coefficient with the tank at half of its saturation
        pub coefficient_per_s: f64 = own.value.value,
        /// its lower limit, or `null`
        pub coefficient_low_per_s: Option<f64> = low,
        /// its upper limit, or `null`
        pub coefficient_high_per_s: Option<f64> = high,
        /// the same with the tank at a fifth of its saturation
        pub coefficient_at_one_fifth_per_s: Option<f64> = fifth,
        /// the same with the tank at four fifths of it
        pub coefficient_at_four_fifths_per_s: Option<f64> = fifths,
    }

    fn of(own: &OwnCoefficient) -> Self {
        let per_s = |k: [Option<Frequency>; 2]| k.map(|k| k.map(|k| k.value));
        let ([low, high], [fifth, fifths]) = (per_s(own.limits), per_s(own.elsewhere));
    }
}
