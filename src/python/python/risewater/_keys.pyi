"""Keys of design files as arguments. Written by stubs.py."""

from typing import TypedDict

from numpy.typing import ArrayLike

class Riser(TypedDict, total=False):
    """Keys of one riser."""

    water_temperature_k: ArrayLike  # of the water: temperature, 0 to 40 degC
    water_salinity: ArrayLike  # salt per mass of water with its salt: mass fraction, 0 to 42 g/kg
    water_density_kg_per_m3: ArrayLike  # density of the water; give it together with the three keys below, or none of the four: density, 900 to 1300 kg/m3
    water_viscosity_pa_s: ArrayLike  # dynamic viscosity of the water: dynamic viscosity, 0.0001 to 0.1 Pa s
    water_surface_tension_n_per_m: ArrayLike  # surface tension between water and air: surface tension, 0.001 to 0.1 N/m
    water_vapour_pressure_pa: ArrayLike  # of the water: absolute pressure, 0 to 101.325 kPa
    site_pressure_pa: ArrayLike  # pressure of the atmosphere; not beside altitude: absolute pressure, 30 to 120 kPa
    site_altitude_m: ArrayLike  # the tool takes the standard atmosphere (ISO 2533:1975) at this altitude: length, -500 to 11000 m
    riser_bore_m: ArrayLike  # inside diameter: length, 1 to 3000 mm
    riser_submergence_m: ArrayLike  # depth of the injection point below the running water level: length, 0.001 to 1000 m
    riser_lift_m: ArrayLike  # height of the outlet above that level: to the rim, to the invert of an elbow's horizontal pipe, or to a mouth under water (then below zero): length, -1000 to 1000 m
    riser_roughness_m: ArrayLike  # of the wall; the default is smooth plastic: length, 0 to 50 mm
    riser_lost_bore_m: ArrayLike  # bore lost to fouling: length, 0 to 3000 mm
    riser_suction_length_m: ArrayLike  # length of pipe below the injection point, which carries water alone: length, 0 to 1000 m
    riser_entrance_loss: ArrayLike  # loss coefficient of entrance and injector; see risewater list losses: number, 0 to 100
    riser_injector_loss: ArrayLike  # loss coefficient of an injector that stands in the water's way, for the velocity head in the riser: number, 0 to 100
    riser_injector: ArrayLike  # how the air gets in. The interval is wider for a kind that no published rig had. A lift on a header takes the kind of its branch: name
    riser_air_line_m: ArrayLike  # outside diameter of an air line that runs down inside the riser: length, 1 to 3000 mm
    riser_pipe: ArrayLike  # a pipe of the catalogue or of [[pipe]], for its bore; not beside bore: name
    riser_outlet: ArrayLike  # how the water leaves: name
    riser_outlet_loss: ArrayLike  # loss coefficient of the fittings. With an elbow only the part above one counts, since the head at its brink already holds one velocity head: number, 0 to 100
    riser_outlet_bore_m: ArrayLike  # bore of the horizontal pipe: length, 1 to 5000 mm
    riser_outlet_brink: ArrayLike  # whether the head at the brink is a height of mixture or of clear_water: name
    riser_outlet_depth_m: ArrayLike  # depth of the mouth below the receiving level: length, 0 to 100 m
    riser_outlet_head_m: ArrayLike  # height above the rim that the mixture needs to spill: measure it: length, 0 to 100 m
    air_flow_m3_per_s: ArrayLike  # air flow of the riser, counted at reference: volume flow, 0 to 100000000 L/min
    air_mass_flow_kg_per_s: ArrayLike  # air flow as mass of dry air; not beside flow: mass flow, 0 to 1000 kg/s
    air_reference: ArrayLike  # state of the air at which the flow is counted: name, or table
    model_slip: ArrayLike  # law of the void fraction, from risewater list models; take smith_drift for little submergence: name
    model_friction: ArrayLike  # law of the friction at the wall: name
    model_developing_length_m: ArrayLike  # length over which the flow develops, as a number of bores or as a length; the default is the project's own fit: number, 0 to 100, or length, 0 to 25 m
    gas_oxygen_kg_per_m3: ArrayLike  # oxygen of the water that enters: concentration, 0 to 2000 mg/L
    gas_nitrogen_kg_per_m3: ArrayLike  # nitrogen of the water that enters: concentration, 0 to 2000 mg/L
    gas_argon_kg_per_m3: ArrayLike  # argon of the water that enters: concentration, 0 to 2000 mg/L
    gas_carbon_dioxide_kg_per_m3: ArrayLike  # free carbon dioxide of the water that enters: concentration, 0 to 2000 mg/L
    gas_transfer_coefficient_per_s: ArrayLike  # k<sub>L</sub>a of oxygen for the volume of water in the riser: rate, 0 to 1000000 1/s
    gas_transfer_temperature_k: ArrayLike  # temperature at which that coefficient holds; the tool converts it by the factor of ASCE/EWRI 2 for each kelvin: temperature, 0 to 40 degC
    gas_diffusion_exponent: ArrayLike  # exponent of the ratio of diffusion coefficients, to convert the transfer coefficient to other gases: number, 0.5 to 1
    gas_carbon_dioxide_of_air: ArrayLike  # mole fraction of carbon dioxide in the dry air that is blown; indoor air has more: number, 0 to 1
    gas_total_gas_pressure_limit: ArrayLike  # limit of total gas pressure, over the barometer's, to compare results with; CCME 1999, from memory, has a lower one for shallow water: number, 1 to 10

class Search(Riser, total=False):
    """Those of a search for designs, too."""

    duty_water_flow_m3_per_s: ArrayLike  # water of all risers together; not beside [need]: volume flow, 0.000001 to 100000000 L/min
    duty_tank: ArrayLike  # name of a [[rearing_tank]], whose need is then the flow wanted: text
    duty_lift_m: ArrayLike  # height from the running water level of the source to the outlet: length, -1000 to 1000 m
    duty_objective: ArrayLike  # what the best design has least of: air_power, lifts, air_flow or pressure. With several [[duty]], give it in one for all; air_power is then the power at the blower: name
    duty_at_low_water: ArrayLike  # whether a design must also meet the duty at low water, tank.level_fall below normal. It then has the air that this takes, and keeps its limits there: true or false
    duty_at_lower_end: ArrayLike  # whether the lower end of the flow's interval must meet the duty, and not only the predicted flow. A design then has the air that this takes. supply reads it too: true or false
    duty_name: ArrayLike  # what the tank is called; with several, each needs its own name: text
    duty_min_submergence_m: ArrayLike  # shallowest point of injection in this tank: length, 0.001 to 1000 m
    duty_max_submergence_m: ArrayLike  # deepest point of injection in this tank: length, 0.001 to 1000 m
    duty_standards: ArrayLike  # pipe standards to search for this tank, in place of the standards and pipes of [limits]: list of names
    duty_pipes: ArrayLike  # single pipes to search for this tank: list of names
    duty_max_bore_m: ArrayLike  # widest bore of a riser in this tank: length, 1 to 3000 mm
    duty_min_lifts: ArrayLike  # fewest risers in this tank; with two, one is left when the other stops: whole number, 1 to 1000
    duty_max_lifts: ArrayLike  # most risers in this tank: whole number, 1 to 1000
    duty_level_fall_m: ArrayLike  # fall of this tank's water level: length, 0 to 100 m
    duty_level_rise_m: ArrayLike  # rise of this tank's water level: length, 0 to 100 m
    limits_min_submergence_m: ArrayLike  # shallowest point of injection: length, 0.001 to 1000 m
    limits_max_submergence_m: ArrayLike  # deepest point of injection: length, 0.001 to 1000 m
    limits_submergence_step_m: ArrayLike  # step between depths; 1000 depths at most: length, 0.001 to 1000 m
    limits_standards: ArrayLike  # pipe standards to search, such as ["ASTM D1785"]: list of names
    limits_pipes: ArrayLike  # single pipes to search as well, from risewater list pipes or [[pipe]]: list of names
    limits_max_bore_m: ArrayLike  # widest bore of a riser; wider pipes are left out: length, 1 to 3000 mm
    limits_min_lifts: ArrayLike  # fewest risers that share the duty; with two, one is left when the other stops: whole number, 1 to 1000
    limits_max_lifts: ArrayLike  # most risers that share the duty: whole number, 1 to 1000
    limits_max_air_pressure_pa: ArrayLike  # highest pressure that the air supply reaches at the injection point; the pressure to start must not exceed it: gauge pressure, 0.01 to 10000 kPa
    limits_max_total_gas_pressure: ArrayLike  # highest total gas pressure of the water that leaves, over the barometer's, as a share or in per cent; it limits the depth. The tool takes the mean of foot and mouth at the highest level; a submerged outlet adds its depth: number, 1 to 10
    limits_peak_reserve: ArrayLike  # share of the peak flow by which a design stays below the peak: number, 0 to 0.9
    limits_fouling_m: ArrayLike  # bore that fouling takes before you clean; for the margin *fouled bore*: length, 0 to 1000 mm
    limits_supply_loss_pa: ArrayLike  # pressure lost between blower and injection points in lines, open valves and injectors. With several [[duty]] the power at the blower includes it: pressure, 0 to 1000 kPa
    tank_level_fall_m: ArrayLike  # fall of the water level, for the margin *low water* and for a change that supply tries. With duty.at_low_water the duty must also be met there: length, 0 to 100 m
    tank_level_rise_m: ArrayLike  # rise of the water level, for the margin *high water* and for a change that supply tries. Without either key it tries 5 and 10 cm either way: length, 0 to 100 m
