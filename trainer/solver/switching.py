"""What the output does in each mode, what the controller sees under each fault, and what pairs with what."""

from dataclasses import dataclass

from trainer.solver.numbers import Flags, Numbers, require_finite, require_one_of

OPERATES = ("light", "dark")
CONTACTS = ("NO", "NC")
FAULTS = (
    "none",
    "dirty_lens",
    "misaligned",
    "emitter_dead",
    "supply_lost",
    "output_wire_cut",
    "output_stuck_on",
    "stray_light",
)
_DARKENS = {"dirty_lens", "misaligned", "emitter_dead"}
_DEAD_INPUT = {"supply_lost", "output_wire_cut"}


def output_on(operate: str, lit: bool) -> bool:
    """Whether a healthy output is on: light operate when the receiver sees light, dark operate when it does not.

    operate: light or dark. Raises BadInput.
    """
    require_one_of("operate", operate, OPERATES)
    return lit == (operate == "light")


def operate_of(contact: str) -> str:
    """The mode of a through-beam eye that is sold as NO or NC.

    NO and NC name what the object does, not the light: a through-beam NO output comes on when an object breaks the
    beam, so it is dark operate. Raises BadInput. Common practice, no source.
    """
    require_one_of("contact", contact, CONTACTS)
    return "dark" if contact == "NO" else "light"


def input_on(operate: str, blocked: bool, fault: str = "none") -> bool:
    """Whether the controller's input is on, with the path blocked or clear and one fault.

    operate: light or dark
    fault: none; dirty_lens, misaligned, emitter_dead (no light arrives); supply_lost, output_wire_cut (input off);
        output_stuck_on (input on); stray_light (sun or a neighbour's emitter: light arrives always)
    Raises BadInput. Follows from the truth table of the two modes.
    """
    require_one_of("operate", operate, OPERATES)
    require_one_of("fault", fault, FAULTS)
    if fault in _DEAD_INPUT:
        return False
    if fault == "output_stuck_on":
        return True
    lit = fault == "stray_light" or not (blocked or fault in _DARKENS)
    return output_on(operate, lit)


def reads_vehicle(operate: str, input_is_on: bool) -> bool:
    """Whether a controller set up for a mode takes its input for a vehicle. Raises BadInput."""
    return output_on(operate, lit=False) == input_is_on


@dataclass(frozen=True)
class Appearance:
    """What a fault looks like at the input: on or off with a clear and a blocked path, and the fail direction."""

    clear: bool
    blocked: bool
    direction: str


def appearance(operate: str, fault: str) -> Appearance:
    """How one fault appears in one mode; direction is healthy, present (always a vehicle) or absent (hides a vehicle).

    operate: light or dark; fault: as input_on. Raises BadInput.
    """
    clear, blocked = (input_on(operate, path, fault) for path in (False, True))
    seen = reads_vehicle(operate, clear), reads_vehicle(operate, blocked)
    direction = {(False, True): "healthy", (True, True): "present", (False, False): "absent"}[seen]
    return Appearance(clear, blocked, direction)


def looks_alike(operate: str, fault: str) -> tuple[str, ...]:
    """All other single faults that the input cannot tell from this one, in the order of FAULTS. Raises BadInput."""
    shown = appearance(operate, fault)
    return tuple(other for other in FAULTS if other != fault and appearance(operate, other) == shown)


def two_eyes(logic: str, first: bool, second: bool) -> bool:
    """Two signals joined: `and`, `or`, `and_not` (first without second). Raises BadInput."""
    require_one_of("logic", logic, ("and", "or", "and_not"))
    if logic == "or":
        return first or second
    return first and (second if logic == "and" else not second)


def open_bed(low_blocked: bool, high_blocked: bool) -> bool:
    """Whether two stacked eyes see an open bed: the low one blocked, the high one clear."""
    return two_eyes("and_not", low_blocked, high_blocked)


def output_fits_input(output: str, input_type: str) -> bool:
    """Whether a sourcing (PNP) or sinking (NPN) output can drive an input: the input must be of the other type.

    output, input_type: sourcing or sinking. Raises BadInput. Common practice, no source.
    """
    require_one_of("output", output, ("sourcing", "sinking"))
    require_one_of("input_type", input_type, ("sourcing", "sinking"))
    return output != input_type


def supply_fits_input(supply: str, input_supply: str) -> bool:
    """Whether a sensor's switched supply fits an input: an AC eye on a DC input is read as pulses at line rate.

    supply, input_supply: ac or dc. Raises BadInput. Common practice, no source.
    """
    require_one_of("supply", supply, ("ac", "dc"))
    require_one_of("input_supply", input_supply, ("ac", "dc"))
    return supply == input_supply


@dataclass(frozen=True)
class InputBands:
    """Voltage bands of a 24 V DC input [V]: 0 from off_least to off_most, 1 from on_least to on_most."""

    off_least: float
    off_most: float
    on_least: float
    on_most: float


# IEC 61131-2, as printed on data sheets of input modules; the standard itself was not open to us.
INPUT_BANDS = {
    "1": InputBands(off_least=-3.0, off_most=5.0, on_least=15.0, on_most=30.0),
    "3": InputBands(off_least=-3.0, off_most=5.0, on_least=11.0, on_most=30.0),
}


def reads_on(input_type: str, voltage: Numbers) -> Flags:
    """Whether a 24 V DC input of type 1 or 3 surely reads 1 at a voltage [V, finite]; broadcasts. Raises BadInput.

    Neither reads_on nor reads_off: the level is undefined. Source: IEC 61131-2, as printed on data sheets.
    """
    require_one_of("input_type", input_type, tuple(INPUT_BANDS))
    bands, volts = INPUT_BANDS[input_type], require_finite("voltage", voltage)
    certain: Flags = (volts >= bands.on_least) & (volts <= bands.on_most)
    return certain


def reads_off(input_type: str, voltage: Numbers) -> Flags:
    """Whether a 24 V DC input of type 1 or 3 surely reads 0; as reads_on."""
    require_one_of("input_type", input_type, tuple(INPUT_BANDS))
    bands, volts = INPUT_BANDS[input_type], require_finite("voltage", voltage)
    certain: Flags = (volts >= bands.off_least) & (volts <= bands.off_most)
    return certain
