//! Codes and names that programs may match on: none that was ever given may go or change.

use risewater::answer::{Answer, ErrorAnswer};
use risewater::error::{AerationError, BlowerError, NeedError, RecirculationError};
use risewater::gas::aeration::AeratorPower;
use risewater::need::Line;
use risewater::pipe::fittings::Fitting;
use risewater::regime::FlowPattern;
use risewater::riser::{BrinkHead, InjectorKind, Outlet};
use risewater::sizing::{MarginCase, Objective, Reason};
use risewater::supply::DepthLimit;
use risewater::trial::{
    DutyAir, LevelAdvice, Matched, PlanFlag, Source, Suspicion, Unpaired, Verdict,
};
use risewater::{Caution, Error, Friction, Outcome, Slip};
use strum::{VariantArray, VariantNames};

fn named<T: Copy + Into<&'static str>>(all: &[T]) -> Vec<&'static str> {
    all.iter().map(|one| (*one).into()).collect()
}

#[test]
#[allow(clippy::too_many_lines, reason = "one row for each list")]
fn none_is_lost() {
    let given = [
        (
            Caution::CODES.to_vec(),
            "submergence_ratio_low bore_small bore_large riser_short annular_at_top \
             outside_closure choked outlet_head_unstated outlet_runs_full brink_reading \
             salt_water air_line_inside runs_by_gravity low_on_curve short_at_low_water \
             developing_length_decides loss_of_air total_gas_pressure_above enters_with_much_gas \
             oxygen_above_saturation gas_supersaturation air_in_plastic_pipe mains_near_water \
             oxygen_taken_out back_siphon check_valve_alone blower_below_water oxygen_runs_out \
             intake_air dead_head noise no_standby efficiency_unknown hot_discharge \
             header_too_hot fast_air lift_without_air air_off_design orifice_wide branch_choked \
             beyond_loss_curve soft_balance some_lifts_do_not_start not_pressure_pipe \
             pipe_from_memory another_rig beyond_trial_air beyond_trial_depth interval_stretched \
             injector_unlike_rigs outlet_decides reading_stands_out reading_far_off \
             reading_narrows_little means_of_the_day unfed_animals \
             default_from_memory lifts_not_enough loop_at_ceiling free_carbon_dioxide \
             filter_oxygen_not_followed past_blower_table before_blower_table",
        ),
        (
            Error::CODES.to_vec(),
            "out_of_range not_finite inconsistent above_peak runs_without_air lift_out_of_reach \
             submergence_out_of_reach one_reading no_reading no_interval unknown_name blower \
             aeration need line_too_narrow hole_too_wide outlet_too_hot blower_too_weak \
             beyond_blower below_blower riser_missing curve_not_rising not_converged recirculation",
        ),
        (
            AerationError::VARIANTS.to_vec(),
            "too_few_readings no_rise too_short too_seldom undetermined beyond_equilibrium \
             time_not_later probe",
        ),
        (
            BlowerError::VARIANTS.to_vec(),
            "too_few_points point_out_of_range point_not_finite same_flow rise_not_falling \
             missing_power missing_power_kind beyond_last_flow below_first_flow \
             above_highest_rise below_lowest_rise speed_out_of_reach",
        ),
        (
            NeedError::VARIANTS.to_vec(),
            "ammonia_unknown limit_too_tight limit_above_saturation no_limit no_volume \
             feed_without_animals in_tank empty_cycle date_not_later in_row on_day no_lifts",
        ),
        (
            RecirculationError::VARIANTS.to_vec(),
            "no_tank no_water no_such_tank no_such_lifts own_lifts_in_series own_lifts_before_filter \
             ammonia_unknown meal_shares peak_out_of_reach rises_too_slowly timetables",
        ),
        (
            Suspicion::VARIANTS.to_vec(),
            "time_out_of_line times_of_other_size watch_left_running times_swapped amount_unit \
             length_unit flow_unexpected",
        ),
        (
            Reason::VARIANTS.to_vec(),
            "above_peak inside_reserve air_pressure total_gas_pressure lift_out_of_reach \
             runs_without_air at_low_water cannot_be unsolved",
        ),
        (
            named(MarginCase::VARIANTS),
            "air_less_10_percent air_more_10_percent low_water high_water fouled",
        ),
        (
            Outcome::VARIANTS.to_vec(),
            "pumping choked below_threshold blown_dry",
        ),
        (
            named(FlowPattern::ALL),
            "single_phase bubbly slug churn annular",
        ),
        (
            named(Slip::ALL),
            "bhagwat_ghajar_2014 nicklin_1962 reinemann_1990 kataoka_ishii_1987 bubbly \
             smith_drift",
        ),
        (named(Friction::ALL), "homogeneous slug_body friedel_1979"),
        (named(Objective::ALL), "air_power lifts air_flow pressure"),
        (named(&Line::ALL), "oxygen ammonia carbon_dioxide turnover"),
        (Outlet::NAMES.to_vec(), "plain elbow submerged open_top"),
        (named(BrinkHead::VARIANTS), "mixture clear_water"),
        (named(InjectorKind::ALL), "open_tube drilled_ring diffuser"),
        (Matched::VARIANTS.to_vec(), "bench_order air"),
        (
            Unpaired::VARIANTS.to_vec(),
            "other_configuration no_such_setting no_such_air taken no_slope",
        ),
        (
            named(Verdict::ALL),
            "agrees differs cannot_tell no_water_predicted no_water_measured",
        ),
        (
            named(PlanFlag::ALL),
            "no_water short_fill short_bottle out_of_reach",
        ),
        (
            LevelAdvice::VARIANTS.to_vec(),
            "negligible return smaller hold_level",
        ),
        (
            DepthLimit::VARIANTS.to_vec(),
            "interior largest_submergence smallest_submergence air_pressure total_gas_pressure \
             peak",
        ),
        (DutyAir::VARIANTS.to_vec(), "given for_water middle"),
        (AeratorPower::VARIANTS.to_vec(), "wire shaft air"),
        (
            named(Source::ALL),
            "volume_reading volume_calibration mass water_density timing scatter level \
             temperature barometer meter",
        ),
        (
            named(Fitting::ALL),
            "elbow_90_threaded elbow_90_flanged elbow_90_long_radius elbow_90_mitred elbow_45 \
             elbow_45_long_radius tee_branch_threaded tee_branch_long_radius tee_branch_flanged \
             tee_branch_stub_in tee_run_threaded tee_run_flanged tee_run_stub_in gate_valve \
             ball_valve ball_valve_reduced globe_valve angle_valve diaphragm_valve \
             butterfly_valve check_swing check_lift check_tilting_disc entrance_flush \
             entrance_reentrant entrance_rounded exit",
        ),
    ];
    let mut lost = Vec::new();
    for (now, once) in given {
        lost.extend(once.split(' ').filter(|code| !now.contains(code)));
    }
    assert!(lost.is_empty(), "{lost:?}");
}

#[test]
fn the_code_of_what_is_wrong_comes_first() {
    let error = Error::Blower(BlowerError::MissingPower { point: 3 });
    let error = ErrorAnswer::from(&error).json();
    assert_eq!(error["code"], "blower");
    assert_eq!(
        error["details"].to_string(),
        r#"{"problem":"missing_power","point":3}"#
    );
}
