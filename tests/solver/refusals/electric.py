"""What the functions of wires, charge and switching ask of their inputs."""

from tests.solver.refusals.rules import (
    ANY,
    FINITE,
    Rule,
    above_zero,
    between,
    case,
    from_zero,
    one_of,
    sentence,
)
from trainer.solver import electrical, energies, energy_control, switching

M, OHM, OHM_PER_M = above_zero("m"), above_zero("ohm"), above_zero("ohm/m")
FARAD, VOLT, VOLTS, AMPS = above_zero("F"), above_zero("V"), from_zero("V"), from_zero("A")
CELSIUS = between("from -50 to 200 °C", -50.0, 200.0)
GAUGE = Rule("a whole number, -3 to 40", (-4, 41, 12.5), (-3, 40))
TO_VOLTAGE = above_zero("V", 325.0, then=Rule("at most from_voltage", (325.001,)))
FROM_VOLTAGE = above_zero("V", 60.0)
SECTION = Rule("0.5, 0.75, 1.0, 1.5 or 2.5 mm²", (0.501e-6, 1.5e-6 * (1 + 5e-6), -1.0), (0.5e-6, 2.5e-6))

OPERATE, CONTACT = one_of("light", "dark"), one_of("NO", "NC")
FAULT = one_of(*switching.FAULTS)
TYPES, SUPPLY, BANDS = one_of("sourcing", "sinking"), one_of("ac", "dc"), one_of("1", "3")
KIND = one_of(*energies.ENERGIES)

CASES = [
    case(
        electrical.voltage_drop,
        current=(0.03, AMPS),
        length=(30.0, M),
        resistance_per_length=(0.05, OHM_PER_M),
    ),
    case(electrical.short_distance, loop_resistance=(2.0, OHM), resistance_per_length=(0.05, OHM_PER_M)),
    case(
        electrical.short_distance_at,
        loop_resistance=(2.0, OHM),
        resistance_per_length=(0.05, OHM_PER_M),
        celsius=(5.0, CELSIUS),
    ),
    case(
        electrical.k_form_drop,
        current=(16.0, AMPS),
        length=(45.0, M),
        circular_mils=(6530.0, above_zero()),
        k=(42.0, OHM_PER_M),
    ),
    case(electrical.awg_diameter, gauge=(14, GAUGE)),
    case(electrical.awg_area, gauge=(14, GAUGE)),
    case(
        electrical.wire_resistance,
        area=(2e-6, above_zero("m²")),
        celsius=(50.0, CELSIUS),
        resistivity=(1.7e-8, above_zero("ohm m")),
    ),
    case(electrical.resistance_at, resistance_20=(2.0, OHM), celsius=(50.0, CELSIUS)),
    case(electrical.correction_to_20, celsius=(50.0, CELSIUS)),
    case(
        electrical.nec_resistance,
        arrays=False,
        gauge=(14, Rule("one of 18, 16, 14, 12, 10", (13, 14.5), (18, 10), numbers=False)),
        stranded=(True, ANY),
    ),
    case(electrical.flexible_resistance, arrays=False, area=(1.5e-6, SECTION)),
    case(electrical.ac_peak, rms=(230.0, VOLTS)),
    case(
        electrical.discharge_time,
        resistance=(1e4, OHM),
        capacitance=(1e-3, FARAD),
        from_voltage=(325.0, FROM_VOLTAGE),
        to_voltage=(60.0, TO_VOLTAGE),
    ),
    case(
        electrical.largest_bleed_resistor,
        capacitance=(1e-3, FARAD),
        from_voltage=(325.0, above_zero("V")),
        to_voltage=(60.0, above_zero("V", then=Rule("below from_voltage", (325.0,)))),
        time=(5.0, above_zero("s")),
    ),
    case(electrical.stored_charge, capacitance=(1e-6, FARAD), voltage=(340.0, VOLTS)),
    case(electrical.capacitance_for, charge=(6e-5, above_zero("C")), voltage=(340.0, VOLT)),
    case(electrical.stored_energy, capacitance=(1e-3, FARAD), voltage=(340.0, VOLTS)),
    case(electrical.pelv_limit, condition=("dry", one_of("dry", "wet"))),
    case(
        electrical.may_stay_energized, arrays=False, voltage=(24.0, VOLTS), added_burn_exposure=(False, ANY)
    ),
    case(
        electrical.residual_voltage,
        arrays=False,
        capacitance=(1e-3, FARAD),
        resistance=(1e3, OHM),
        voltage=(325.0, VOLT),
        connection=("fixed", one_of("fixed", "plug")),
    ),
    case(switching.output_on, operate=("light", OPERATE), lit=(True, ANY)),
    case(switching.operate_of, contact=("NO", CONTACT)),
    case(switching.input_on, operate=("light", OPERATE), blocked=(False, ANY), fault=("none", FAULT)),
    case(switching.reads_vehicle, operate=("dark", OPERATE), input_is_on=(True, ANY)),
    case(switching.appearance, operate=("dark", OPERATE), fault=("none", FAULT)),
    case(switching.looks_alike, operate=("dark", OPERATE), fault=("none", FAULT)),
    case(
        switching.two_eyes,
        logic=("and", one_of("and", "or", "and_not")),
        first=(True, ANY),
        second=(True, ANY),
    ),
    case(switching.output_fits_input, output=("sourcing", TYPES), input_type=("sinking", TYPES)),
    case(switching.supply_fits_input, supply=("ac", SUPPLY), input_supply=("dc", SUPPLY)),
    case(switching.reads_on, input_type=("1", BANDS), voltage=(24.0, FINITE)),
    case(switching.reads_off, input_type=("3", BANDS), voltage=(24.0, FINITE)),
    case(energies.energy, kind=("air", KIND)),
    case(energies.isolates_kind, device=("block", ANY), kind=("air", KIND)),
    case(
        energy_control.isolates,
        device=("block", one_of(*energy_control.ISOLATING, *energy_control.CONTROLLING)),
    ),
    case(energy_control.must_prove_tester, arrays=False, nominal_voltage=(480.0, VOLTS)),
]

SENTENCES = [
    sentence(
        electrical.decode_ip,
        f"code is '{code}'; it must be an IP code such as IP67, IPX5 or IP66/IP67",
        code=code,
    )
    for code in ("IPXX", "XX", "IP7", "67/IP", "IP68L", "")
]
