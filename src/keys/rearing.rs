//! Keys of a need: animals, their water, what must hold and what enters.

use super::holds::{
    concentration, file, mass, mass_fraction, mass_rate, name, number, or_none, oxygen_use, rate,
    ratio, share_of_day, temperature, text, truth, volume, volume_rate, whole,
};
use super::{Key, OrNone, Row, keys};
use crate::error::{Input, NameKind};
use crate::need::{COEFFICIENT, EFFICIENCY, ENTERING};
use crate::units::quantity::Dimension;
use crate::units::{
    Frequency, Mass, MassConcentration, MassRate, Ratio, SpecificOxygenUse,
    ThermodynamicTemperature, Volume, VolumeRate,
};

const CYCLE_HAS: &[(&str, &str)] = &[("cycle", "the cycle, which has it day by day")];
const FEED_HAS: &[(&str, &str)] = &[("feed", "its feed"), CYCLE_HAS[0]];
const OF_LIMITS: &str = "that of `limits`";
const OF_WATER: &str = "that of `[water]`";
const MAKEUP_ALL: &str =
    "all of makeup_flow, makeup_oxygen, makeup_tan and makeup_carbon_dioxide, or none of them";

const fn limit(input: Input) -> Key<OrNone<MassConcentration>> {
    or_none(Dimension::Concentration, input, crate::need::LIMIT).else_(OF_LIMITS)
}

keys! {
    /// `[need]`.
    need "need"
        BIOMASS "biomass": Mass = mass(Input::Biomass, crate::need::BIOMASS)
            .is("mass of the animals", "300 kg").due_as("must be given, here or by the cycle").ask("the mass of the animals", ", or a cycle").beside(CYCLE_HAS);
        PROTEIN "protein": Ratio = ratio(Input::Protein, crate::need::PROTEIN)
            .is("protein of the feed, as its label has it", "42 %").due().ask("the protein of the feed as its label has it", "");
        TEMPERATURE "temperature": ThermodynamicTemperature = temperature(Input::WaterTemperature, crate::water::TEMPERATURE).silent()
            .is("of the tank's water", "25 degC").else_(OF_WATER).ask("the water's temperature", ", here or in [water]");
        SALINITY "salinity": Ratio = mass_fraction(Input::Salinity, crate::water::SALINITY).silent().is("of the tank's water", "30 g/kg").else_(OF_WATER);
        PH "ph": f64 = number(Input::Ph, crate::need::PH)
            .is("pH of the tank's water; the share of un-ionised ammonia depends on it", "7.5").due_as("must be given with `ammonia_limit`")
            .ask("the pH", ", or ammonia_limit = \"none\"");
        VOLUME "volume": Volume = volume(Input::TankVolume, crate::need::TANK_VOLUME).is("of the tank's water", "12 m3").else_("needed for `turnover`");
        BACTERIA "bacteria": bool = truth().or("true")
            .is("whether the oxygen that bacteria use counts too, as in water that is used again", "false");
        OXYGEN_PER_FEED "oxygen_per_feed": Ratio = ratio(Input::OxygenPerFeed, COEFFICIENT)
            .is("oxygen used, over the feed", "0.4").or_with("0.5", ", less without bacteria");
        TAN_PER_PROTEIN "tan_per_protein": Ratio = ratio(Input::TanPerProtein, COEFFICIENT)
            .is("total ammonia nitrogen, over the protein fed", "0.1").or("0.092");
        CARBON_DIOXIDE_PER_OXYGEN "carbon_dioxide_per_oxygen": Ratio = ratio(Input::CarbonDioxidePerOxygen, COEFFICIENT)
            .is("carbon dioxide, over the oxygen used", "1.1").or("1.375");
        SOLIDS_PER_FEED "solids_per_feed": Ratio = ratio(Input::SolidsPerFeed, COEFFICIENT)
            .is("suspended solids, over the feed", "0.3").or("0.25");
        LEAST_OXYGEN_USE "least_oxygen_use": SpecificOxygenUse = oxygen_use(Input::LeastOxygenUse, crate::supply::OXYGEN_USE)
            .is("oxygen that animals use without feed", "100 mg/(kg h)");
        CYCLE "cycle": String = file().also(&[Input::CycleDays])
            .is("table of the animals day by day as CSV, in the folder of the design file; in place of `biomass` and `feed`", "crop.csv");
        FEED "feed": MassRate = mass_rate(Input::Feed, crate::need::FEED).instead(&["feed_rate"]).beside(CYCLE_HAS)
            .is("feed of a day", "6 kg/d").due_as("must be given, or `feed_rate`").ask("the feed of a day", ", or a feed_rate, such as \"2 %/d\"");
        FEED_RATE "feed_rate": Frequency = share_of_day(Input::FeedShare, crate::need::FEED_SHARE).instead(&["feed"]).beside(FEED_HAS)
            .is("feed of a day as a share of the animals' mass; not beside `feed`", "2 %/d").else_("");
        LIMITS "limits": String = name(NameKind::Limits, || vec!["warm_water", "salmonids", "none"])
            .is("set of limits to start from: `warm_water`, `salmonids` or `none`", "warm_water").due()
            .ask("what the water must hold: \"warm_water\", \"salmonids\", or \"none\" and each limit by itself", ".");
        LEAST_OXYGEN "least_oxygen": OrNone<MassConcentration> = limit(Input::LeastOxygen)
            .is("least dissolved oxygen; less than saturation with air, unless the water enters with more", "5 mg/L");
        TAN_LIMIT "tan_limit": OrNone<MassConcentration> = limit(Input::TanLimit).is("most total ammonia nitrogen", "1 mg/L");
        AMMONIA_LIMIT "ammonia_limit": OrNone<MassConcentration> = limit(Input::AmmoniaLimit)
            .is("most un-ionised ammonia, as nitrogen; in salt water it must be `\"none\"`", "none");
        CARBON_DIOXIDE_LIMIT "carbon_dioxide_limit": OrNone<MassConcentration> = limit(Input::CarbonDioxideLimit).is("most carbon dioxide", "15 mg/L");
        TURNOVER "turnover": OrNone<Frequency> = or_none(Dimension::Turnover, Input::Turnover, crate::need::TURNOVER)
            .is("least number of tank volumes that pass in a time", "1 volumes/h");
        ENTERING_OXYGEN "entering_oxygen": MassConcentration = concentration(Input::EnteringOxygen, crate::need::ENTERING_OXYGEN)
            .is("dissolved oxygen of the water that enters; it may exceed saturation with air, as behind an oxygen cone", "9 mg/L").else_("")
            .instead(&["entering_saturation", "reaeration"]);
        ENTERING_SATURATION "entering_saturation": Ratio = ratio(Input::EnteringSaturation, crate::need::ENTERING_SATURATION)
            .is("the same, as a share of saturation with air; not beside `entering_oxygen`", "0.95").or("0.9")
            .instead(&["entering_oxygen", "reaeration"]).beside(&[("entering_oxygen", "its entering_oxygen")]);
        REAERATION "reaeration": Ratio = ratio(Input::Reaeration, EFFICIENCY)
            .is("if the water returns: share of its missing oxygen that one pass restores; not beside the two keys above", "0.7").else_("")
            .instead(&["entering_oxygen", "entering_saturation"])
            .beside(&[("entering_oxygen", "its entering_oxygen"), ("entering_saturation", "its entering_saturation")]);
        ENTERING_TAN "entering_tan": MassConcentration = concentration(Input::EnteringTan, ENTERING)
            .is("total ammonia nitrogen of the water that enters", "0.1 mg/L").or("0 mg/L").instead(&["tan_removal"]);
        TAN_REMOVAL "tan_removal": Ratio = ratio(Input::TanRemoval, EFFICIENCY)
            .is("if the water returns: share of the ammonia nitrogen that one pass of the biofilter removes; not beside `entering_tan`", "0.5").else_("")
            .instead(&["entering_tan"]).beside(&[("entering_tan", "its entering_tan")]);
        ENTERING_CARBON_DIOXIDE "entering_carbon_dioxide": MassConcentration = concentration(Input::EnteringCarbonDioxide, ENTERING)
            .is("carbon dioxide of the water that enters", "2 mg/L").or("1 mg/L").instead(&["carbon_dioxide_removal"]);
        CARBON_DIOXIDE_REMOVAL "carbon_dioxide_removal": Ratio = ratio(Input::CarbonDioxideRemoval, EFFICIENCY)
            .is("if the water returns: share of the carbon dioxide above saturation with air that one pass removes; not beside `entering_carbon_dioxide`", "0.6").else_("")
            .instead(&["entering_carbon_dioxide"]).beside(&[("entering_carbon_dioxide", "its entering_carbon_dioxide")]);
        MAKEUP_FLOW "makeup_flow": VolumeRate = volume_rate(Input::MakeupFlow, crate::need::MAKEUP_FLOW)
            .is("new water, in addition to the water that returns; give all four keys of new water, or none", "10 L/min").ask(MAKEUP_ALL, ".");
        MAKEUP_OXYGEN "makeup_oxygen": MassConcentration = concentration(Input::MakeupOxygen, crate::need::ENTERING_OXYGEN)
            .is("dissolved oxygen of the new water", "8 mg/L").else_("").ask(MAKEUP_ALL, ".");
        MAKEUP_TAN "makeup_tan": MassConcentration = concentration(Input::MakeupTan, ENTERING)
            .is("total ammonia nitrogen of the new water", "0 mg/L").else_("").ask(MAKEUP_ALL, ".");
        MAKEUP_CARBON_DIOXIDE "makeup_carbon_dioxide": MassConcentration = concentration(Input::MakeupCarbonDioxide, ENTERING)
            .is("carbon dioxide of the new water", "5 mg/L").else_("").ask(MAKEUP_ALL, ".");
        SURFACE_COEFFICIENT "surface_coefficient": Frequency = rate(Input::SurfaceExchange, crate::transfer::TRANSFER_COEFFICIENT)
            .is("k<sub>L</sub>a of oxygen through the open surface, for the volume of the tank; for `loop` alone", "0.02 1/h").else_("no exchange there");
        AERATOR "aerator": MassRate = mass_rate(Input::TransferRate, crate::gas::aeration::TRANSFER_RATE)
            .is("standard oxygen transfer rate of other aerators in the tank; for `loop` alone", "0.1 kg/h").else_("none");
        WATER_SHARE "water_share": Ratio = ratio(Input::FlowShare, crate::recirculation::FLOW_SHARE)
            .is("the tank's share of the water of a loop, relative to the other tanks'", "2").or("1");
        LIFT_FLOW "lift_flow": VolumeRate = volume_rate(Input::LiftFlow, crate::need::LIFT_FLOW)
            .is("water flow of one lift while the others run", "60 L/min").else_("what `[riser]` gives with `[air]`")
            .ask("the water flow of one lift", ", or a [riser] with its [air]");
        LIFTS "lifts": u32 = whole(Input::LiftCount, crate::need::LIFT_COUNT).is("number of lifts that can run", "10").else_("as many as it takes");
}

keys! {
    /// `[[rearing_tank]]`, which has the keys of a tank in `[need]`.
    rearing_tank "rearing_tank"
        NAME "name": String = text().is("what the answer calls it", "nursery").else_("`tank 1` and so on");
        => &of_tank(&NAME.row)
}

/// A name, and all of `[need]` but the last two, which are of the room.
const fn of_tank(name: &Row) -> [Row; need::ALL.len() - 1] {
    let mut rows = [*name; need::ALL.len() - 1];
    let mut n = 1;
    while n < rows.len() {
        rows[n] = need::ALL[n - 1];
        n += 1;
    }
    rows
}
