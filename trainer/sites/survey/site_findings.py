"""What is wrong around the eyes: devices that leave a car bare, supply, stored charge, pulses lost, an empty shelf."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.sites.said import Said
from trainer.sites.survey.delays import lateness
from trainer.sites.survey.making import amount, rounded, set_fields
from trainer.sites.survey.results import (
    Amount,
    ApplicationSurvey,
    BodySeen,
    Finding,
    Mend,
    Severity,
    Survey,
)
from trainer.solver.electrical import awg_area, pelv_limit, wire_resistance

PLACES = {
    "supply": Said("Supply of the eyes", "Fuente de los ojos"),
    "drive": Said("Conveyor drive", "Variador del transportador"),
    "conveyor": Said("Pulse input", "Entrada de pulsos"),
    "business": Said("Spare heads", "Cabezales de repuesto"),
}
_THICKEST = 8  # AWG; what a sheet may name


def site_findings(survey: Survey) -> Iterator[Finding]:
    """Drive, supply, controller, shelf, then device by device."""
    yield from _drive(survey)
    yield from _supply(survey)
    yield from _shelf(survey)
    yield from _pulses(survey)
    for one in survey.applications:
        yield from _application(survey, one)


def _at(part: str, key: str, severity: Severity, found: Amount, limit: Amount, *mends: Mend) -> Finding:
    return Finding(key, severity, part, PLACES[part], found, limit, {}, {}, mends)


def _drive(survey: Survey) -> Iterator[Finding]:
    limit = pelv_limit("wet").dc
    if survey.charge.safe_voltage > limit:
        found, least = amount(survey.charge.safe_voltage, "V"), amount(limit, "V")
        mend = set_fields("wait_longer", "drive", {"safe_voltage": least})
        yield _at("drive", "safe_voltage", "hurts", found, least, mend)


def _supply(survey: Survey) -> Iterator[Finding]:
    supply = survey.supply
    if supply.at_head < supply.least:
        found, limit = amount(supply.at_head, "V"), amount(supply.least, "V")
        yield _at("supply", "supply_low", "stops", found, limit, *_thicker(survey), _higher(survey))


def _thicker(survey: Survey) -> Iterator[Mend]:
    """The thinnest copper that would do at 75 degrees Celsius, where any does."""
    supply = survey.sheet.supply
    for gauge in range(int(supply.gauge) - 1, _THICKEST - 1, -1):
        resistance = float(wire_resistance(awg_area(gauge), 75.0))
        drop = 2 * supply.head_current * supply.length * resistance
        if survey.supply.lowest - drop >= survey.supply.least:
            values = {
                "gauge": amount(gauge, "1"),
                "resistance_per_length": amount(resistance, "ohm/kft"),
            }
            yield set_fields("thicker_cable", "supply", values)
            return


def _higher(survey: Survey) -> Mend:
    supply = survey.sheet.supply
    needed = (survey.supply.least + survey.supply.drop) / (1 - supply.tolerance)
    return set_fields("higher_supply", "supply", {"voltage": rounded(needed, "V", 0.5, up=True)})


def _shelf(survey: Survey) -> Iterator[Finding]:
    shelf = survey.spares
    if shelf.on_shelf is not None and shelf.on_shelf < shelf.needed:
        found, limit = amount(shelf.on_shelf, "1"), amount(shelf.needed, "1")
        mend = set_fields("stock_up", "business", {"spares_on_shelf": limit})
        numbers = {
            "lead_time": amount(survey.sheet.business.lead_time, "d"),
            "service_level": amount(shelf.service_level, "%"),
        }
        place = PLACES["business"]
        yield Finding("shelf_short", "stops", "business", place, found, limit, numbers, {}, (mend,))


def _pulses(survey: Survey) -> Iterator[Finding]:
    """At the fastest chain."""
    chain = survey.sheet.conveyor
    rate = survey.pulse_rate * (1 + chain.tolerance)
    if rate < survey.pulse_limit:
        return
    scan = rounded(0.5 / rate - chain.input_filter - 1e-4, "ms", 0.1, up=False)
    mends = [Mend("counting_input", (), {})]
    if scan.value > 0:
        mends.insert(0, set_fields("faster_scan", "conveyor", {"scan_time": scan}))
    found, limit = amount(rate, "pulses/s"), amount(survey.pulse_limit, "pulses/s")
    yield _at("conveyor", "pulses_lost", "miscounts", found, limit, *mends)


def _application(survey: Survey, one: ApplicationSurvey) -> Iterator[Finding]:
    """Lead and trail are measured on plain cars: they must also cover what the eye meets later or lets go earlier."""
    entry = survey.pairs[0]
    met = [body for body in entry.bodies if body.part > 0 and not body.turned_away]
    device = one.application
    reported = entry.delays.beam_late + lateness(survey.sheet, entry.eye.on_delay)
    room = device.distance - reported
    if device.lead > room:
        lead = rounded(room, "in", 0.5, up=False)
        where = f"applications.{device.id}"
        mend = set_fields("shorter_lead", where, {"lead": lead}) if room > 0 else Mend("move_eye", (), {})
        yield _at_device(one, "comes_on_late", (device.lead, room), mend)
        return
    if met:
        yield from _bare(one, met, "nose")
        yield from _bare(one, met, "tail")


def _bare(one: ApplicationSurvey, met: list[BodySeen], end: str) -> Iterator[Finding]:
    """Where a body's end is seen so much later or earlier than the best seen one that the device misses it."""
    field = {"nose": "lead", "tail": "trail"}[end]
    if end == "nose":
        worst = max(met, key=lambda body: body.nose_ends[1])
        needed = worst.nose_ends[1] - min(body.nose_ends[0] for body in met)
    else:
        worst = min(met, key=lambda body: body.tail_ends[0])
        needed = max(body.tail_ends[1] for body in met) - worst.tail_ends[0]
    given = getattr(one.application, field)
    if given < needed:
        value = rounded(needed, "in", 0.5, up=True)
        mend = set_fields(f"longer_{field}", f"applications.{one.application.id}", {field: value})
        yield _at_device(one, f"{end}_bare", (given, needed), mend, body=worst.name)


def _at_device(
    one: ApplicationSurvey, key: str, numbers: tuple[float, float], *mends: Mend, **names: Said
) -> Finding:
    """numbers: found and limit [m]."""
    found, limit = (amount(one, "in") for one in numbers)
    return Finding(key, "costs", one.application.id, one.name, found, limit, {}, names, mends)
