//! Keys of a closed loop: its lifts, its day, its filter.

use super::holds::{
    area, concentration, mass_flux, name, ratio, several, temperature, temperature_interval, time,
    truth, volume, volume_rate, whole,
};
use super::{Key, Row, keys};
use crate::error::{Input, NameKind};
use crate::recirculation as loops;
use crate::units::quantity::Dimension;
use crate::units::{
    Area, MassConcentration, MassFlux, Ratio, TemperatureInterval, ThermodynamicTemperature, Time,
    Volume, VolumeRate,
};

const OTHER_LAW: &[(&str, &str)] = &[("efficiency", "its efficiency, which holds for any water")];
const OTHER_LAWS: &[(&str, &str)] = &[
    OTHER_LAW[0],
    (
        "half_saturation",
        "its half_saturation: the rate follows one law",
    ),
];

keys! {
    /// `[loop]`.
    closed_loop "loop"
        LIFTS "lifts": u32 = whole(Input::LiftCount, loops::LOOP_LIFTS).silent()
            .is("lifts that run; not with `[blower]` or `[[lift]]`, since the file then has the lifts", "12").else_("as few as hold every limit in the worst hour");
        MOST_LIFTS "most_lifts": u32 = whole(Input::LiftCount, loops::LOOP_LIFTS).silent()
            .is("most lifts that there is room for, if the tool is to find their number", "20").or("40");
        LIFT_FLOW "lift_flow": VolumeRate = volume_rate(Input::LiftFlow, crate::need::LIFT_FLOW).silent()
            .is("water of one lift, as measured; `part` must be given with it", "80 L/min").else_("of `[[lift]]` and `[blower]`, or of `[riser]` with `[air]`");
        PART "part": Ratio = ratio(Input::PassPart, crate::gas::FRACTION)
            .is("share of the gap to saturation at the surface that one pass of a lift closes, from a test", "0.3").else_("from `gas.transfer_coefficient`; without it the riser's ceiling")
            .ask("the part of the distance to saturation that one pass covers", " (an aeration test of the lift tells it)");
        AT_LOWER_END "at_lower_end": bool = truth().or("false")
            .is("whether each lift gives the lower end of its interval in place of the predicted flow", "true");
        PASSAGE "passage": String = name(NameKind::Passage, || vec!["parallel", "series"])
            .is("how water goes through the tanks: `parallel` or `series`, in their order", "series").or("parallel");
        ORDER "order": String = name(NameKind::LoopOrder, || vec!["filter_first", "lifts_first"])
            .is("what the water meets first behind the tanks: `filter_first` or `lifts_first`", "lifts_first").or("filter_first");
        MEALS "meals": Vec<Time> = several(Dimension::Time, Input::MealTime, loops::DAY_TIME)
            .is("times of the meals, from midnight; an empty list for feed that comes evenly all day", "[\"8 h\", \"12 h\", \"17 h\"]").due().or_none()
            .ask("the times of the meals after midnight", ", or [] for feed that comes evenly");
        MEAL_SHARES "meal_shares": Vec<Ratio> = several(Dimension::Ratio, Input::MealShare, loops::MEAL_SHARE)
            .is("share of each meal in the ration of a day, in the order of the meals", "[\"40 %\", \"20 %\", \"40 %\"]").else_("all alike");
        OXYGEN_PEAK "oxygen_peak": Ratio = ratio(Input::PeakOverMean, loops::PEAK_OVER_MEAN)
            .is("highest oxygen use of the day over its mean", "1.3").else_("1.4; twice the mean with one meal");
        AMMONIA_PEAK "ammonia_peak": Ratio = ratio(Input::PeakOverMean, loops::PEAK_OVER_MEAN).silent()
            .is("highest ammonia given off in the day over its mean", "1.6").or("1.7");
        MEAL_LENGTH "meal_length": Time = time(Input::MealLength, loops::MEAL_LENGTH)
            .is("how long the use of oxygen stays high after a meal", "3 h").else_("4.5 h, or half of the shortest time between meals");
        LIGHT_FROM "light_from": Time = time(Input::LightTime, loops::DAY_TIME)
            .is("when the light comes on; give it with `light_to` and `dark_use`", "6 h").else_("light makes no difference")
            .ask("when the light comes on", "");
        LIGHT_TO "light_to": Time = time(Input::LightTime, loops::DAY_TIME)
            .is("when the light goes out; past midnight if that is earlier than `light_from`", "20 h").else_("light makes no difference")
            .ask("when the light goes out", "");
        DARK_USE "dark_use": Ratio = ratio(Input::DarkUse, loops::DARK_USE)
            .is("oxygen use in the dark over that in the light, apart from meals; below one for fish that rest in the dark", "0.8").else_("light makes no difference")
            .ask("the use in the dark over that in the light", " (below one for fish that rest in the dark, above one for those awake at night)");
        LIFTS_OFF "lifts_off": u32 = whole(Input::LiftCount, loops::LOOP_LIFTS).silent()
            .is("lifts that stop together for cleaning, in the table of what can go wrong", "1").or("2");
        TEMPERATURE_RISE "temperature_rise": TemperatureInterval = temperature_interval(Input::TemperatureRise, loops::TEMPERATURE_RISE)
            .is("rise of the water's temperature, in the same table", "2 K").or("3 K");
        SURVIVAL_OXYGEN "survival_oxygen": MassConcentration = concentration(Input::Oxygen, crate::gas::DISSOLVED).silent()
            .is("oxygen below which animals die; the minutes without air count to it", "2 mg/L").else_("the tanks' limits alone");
}

keys! {
    /// `[filter]`, the biofilter of a loop.
    filter "filter"
        EFFICIENCY "efficiency": Ratio = ratio(Input::TanRemoval, crate::need::EFFICIENCY).silent()
            .is("share of the ammonia that one pass removes, at any concentration; in place of `area` with its rate", "0.4")
            .else_("").instead(&["area"]);
        AREA "area": Area = area(Input::FilterArea, loops::FILTER_AREA)
            .is("area that the film grows on", "700 m2").instead(&["efficiency"]).beside(OTHER_LAW)
            .due_as("must be given, or `efficiency`").ask("the area of its film", ", or an efficiency of one pass");
        RATE "rate": MassFlux = mass_flux(Input::FilterRate, loops::FILTER_RATE)
            .is("largest rate at which the film oxidises nitrogen, at high ammonia", "0.45 g/(m2 d)").beside(OTHER_LAW)
            .ask("the most that an area oxidises", " (a test at two concentrations tells it)");
        HALF_SATURATION "half_saturation": MassConcentration = concentration(Input::HalfSaturation, loops::HALF_SATURATION)
            .is("ammonia nitrogen at which the rate is half of `rate`", "1.9 mg/L").beside(OTHER_LAW).instead(&["rate_at_1_mg_l"])
            .else_("needed, or `rate_at_1_mg_l`").ask("the ammonia at which its rate is half", ", or its rate_at_1_mg_l");
        RATE_AT_1_MG_L "rate_at_1_mg_l": MassFlux = mass_flux(Input::FilterRate, loops::FILTER_RATE).silent()
            .is("rate at one milligram a litre, if the rate follows the square root of the ammonia; up to `rate` if that is given", "0.3 g/(m2 d)")
            .else_("").instead(&["half_saturation"]).beside(OTHER_LAWS);
        THROUGH "through": String = name(NameKind::FilterPassage, || vec!["mixed", "plug"])
            .is("how the water meets the film: `mixed`, as in a stirred tank, or as a `plug` that passes along it", "plug").or("mixed");
        RATE_TEMPERATURE "rate_temperature": ThermodynamicTemperature = temperature(Input::FilterRateTemperature, crate::gas::TEMPERATURE)
            .is("temperature at which its rates hold", "20 degC").else_("the water's");
        THETA "theta": Ratio = ratio(Input::FilterTheta, loops::FILTER_THETA)
            .is("factor of its rates for each kelvin. Films have somewhat more than one, but that is from memory and doubtful", "1.02").or("1");
        WATER "water": Volume = volume(Input::FilterVolume, loops::FILTER_VOLUME)
            .is("volume of the filter's water", "1.5 m3").or("0 m3");
        BASE "base": String = name(NameKind::AlkalinityBase, || vec!["bicarbonate", "carbonate", "hydroxide"])
            .is("what you add to restore the alkalinity; the carbon dioxide of the filter depends on it", "hydroxide").or("bicarbonate");
        CELLS "cells": Ratio = ratio(Input::CellYield, loops::CELL_YIELD)
            .is("moles of cells that grow for each mole of nitrogen", "0").or("0.0244");
        OTHER_BACTERIA "other_bacteria": Ratio = ratio(Input::OxygenPerFeed, crate::need::COEFFICIENT).silent()
            .is("oxygen used by other bacteria in the filter, over the feed", "0.2").or("0.13");
}

keys! {
    /// `[[timer]]`, lifts that stand for a part of each day.
    timer "timer"
        LIFTS "lifts": u32 = whole(Input::LiftCount, loops::LOOP_LIFTS).silent()
            .is("how many lifts are off", "2").due().ask("how many lifts stand", "");
        FROM "from": Time = time(Input::MealTime, loops::DAY_TIME).silent().is("from this time, counted from midnight", "9 h").due().ask("when they stop", "");
        TO "to": Time = time(Input::MealTime, loops::DAY_TIME).silent().is("to this time; past midnight if it is earlier than `from`", "11 h").due().ask("when they start again", "");
}
