"""The wash around the eyes: when each device runs and what misses the car, spares, supply, stored charge."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from statistics import fmean

from trainer.sites.fleet import taken
from trainer.sites.said import Said
from trainer.sites.sheet import Application, NamedBody, SiteSheet
from trainer.sites.survey.results import (
    ApplicationSurvey,
    ChargeSurvey,
    SparesSurvey,
    SupplySurvey,
    Window,
)
from trainer.solver.applications import ApplicationRow, Car, Device, application_table
from trainer.solver.bodies import Body
from trainer.solver.electrical import discharge_time, voltage_drop
from trainer.solver.spares import service_reached, spares


def survey_applications(sheet: SiteSheet) -> tuple[ApplicationSurvey, ...]:
    """Every device's windows for every vehicle that the wash takes, and what it sprays beside them.

    The chain runs at its set speed; what is wasted a car is the mean of those vehicles. A device for wheels is taken to
    meet the whole tire.
    """
    named = taken(sheet)
    tables = [_rows(sheet, one.body) for one in named]
    return tuple(
        _application(sheet, one, [(body, table[i]) for body, table in zip(named, tables, strict=True)])
        for i, one in enumerate(sheet.applications)
    )


def _rows(sheet: SiteSheet, body: Body) -> tuple[ApplicationRow, ...]:
    """What every device does for one vehicle."""
    devices = [
        Device(
            one.id, one.distance, one.lead, one.trail, one.flow,
            follows="wheels" if one.wheels else "body", height=body.tire_radius if one.wheels else None,
        )
        for one in sheet.applications
    ]  # fmt: skip
    business, chain = sheet.business, sheet.conveyor
    return application_table(
        devices,
        Car(body.length, body.nose - body.front_axle, body.nose - body.rear_axle, body.tire_radius),
        pulses_per_length=chain.pulses_per_length,
        speed=chain.speed,
        cars_per_year=business.cars_per_day * business.days_per_year,
    )


def _application(
    sheet: SiteSheet, one: Application, rows: Sequence[tuple[NamedBody, ApplicationRow]]
) -> ApplicationSurvey:
    a_year = _mean(row.wasted_a_year for _, row in rows)
    return ApplicationSurvey(
        application=one,
        name=Said(one.name["en"], one.name["es"]),
        windows=tuple(
            Window(body.id, Said(body.name["en"], body.name["es"]), int(on), int(off))
            for body, row in rows
            for on, off in row.runs
        ),
        wasted_car=_mean(row.wasted for _, row in rows),
        wasted_year=a_year,
        cost_year=a_year * sheet.business.solution_price,
    )


def _mean(values: Iterable[float]) -> float:
    """0 for a wash that takes none of the vehicles known."""
    known = list(values)
    return fmean(known) if known else 0.0


def survey_spares(sheet: SiteSheet) -> SparesSurvey:
    """Heads to hold on one shelf for the whole wash."""
    business = sheet.business
    rate = business.failures_per_year * business.head_count
    held = business.spares_on_shelf
    reached = None if held is None else float(service_reached(rate, business.lead_time, held))
    return SparesSurvey(
        needed=int(spares(rate, business.lead_time, business.service_level)),
        on_shelf=None if held is None else int(held),
        reached=reached,
        service_level=business.service_level,
        demand=rate * business.lead_time,
    )


def survey_supply(sheet: SiteSheet) -> SupplySurvey:
    """One head alone at the far end of the cable, the supply at the low end of its tolerance."""
    supply = sheet.supply
    lowest = supply.voltage * (1 - supply.tolerance)
    drop = float(voltage_drop(supply.head_current, supply.length, supply.resistance_per_length))
    return SupplySurvey(lowest, drop, lowest - drop, supply.least_voltage)


def survey_charge(sheet: SiteSheet) -> ChargeSurvey:
    """From the bus voltage to the one at which hands may go in."""
    drive = sheet.drive
    seconds = discharge_time(drive.bleed_resistor, drive.capacitor, drive.bus_voltage, drive.safe_voltage)
    return ChargeSurvey(float(seconds), drive.bus_voltage, drive.safe_voltage)
