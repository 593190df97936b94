"""Published functions whose inputs have structure, from plain JSON values to the solver and back."""

from __future__ import annotations

import numpy as np

from trainer.quantities import json_input
from trainer.solver import beam, crosstalk, delays, diagnosis, lockout, recorded, signal, sun, timers
from trainer.solver.numbers import BadInput, Numbers

PlainSpans = list[list[float]]

# The wavelengths for which water's absorption is known, as people write them.
WAVELENGTHS = {f"{round(wave * 1e9)} nm": wave for wave in signal.WATER_ABSORPTION}


def blocked_spans(emitter: object, receiver: object, pieces: object, offset_y: Numbers = 0.0) -> object:
    """Spans as lists; an array of offsets gives nested lists of spans. Raises BadInput."""
    found = beam.blocked_spans(
        json_input.point("emitter", emitter),
        json_input.point("receiver", receiver),
        json_input.pieces("pieces", pieces),
        np.asarray(offset_y, dtype=np.float64),
    )
    return _nested(found if np.ndim(offset_y) else tuple(found))


def timer(kind: str, preset: Numbers, spans: object) -> object:
    """Spans of Q as lists; an array of presets gives nested lists of spans. Raises BadInput."""
    signal = json_input.spans("spans", spans)
    presets = np.asarray(preset, dtype=np.float64)
    found = np.empty(presets.shape, dtype=np.object_)
    for index in np.ndindex(presets.shape):
        found[index] = timers.timer(kind, float(presets[index]), signal)
    return _nested(found if presets.ndim else found[()])


def lockout_check(sources: object, steps: object, order: str = "strict") -> dict[str, object]:
    """The verdict as plain values. Raises BadInput."""
    verdict = lockout.lockout_check(
        json_input.texts("sources", sources), json_input.steps("steps", steps), order
    )
    broken = [{"step": one.step, "rule": one.rule, "clause": one.clause} for one in verdict.broken]
    return {"valid": verdict.valid, "broken": broken}


def sun_position(latitude: Numbers, longitude: Numbers, utc: object) -> sun.SunPosition:
    """The sun at moments given as ISO 8601 texts. Raises BadInput."""
    return sun.sun_position(latitude, longitude, json_input.moments("utc", utc))


def fault_policy(prior: object, minutes: object, outcomes: object) -> dict[str, object]:
    """Expected minutes and the first test, from 0; None where no test can tell anything. Raises BadInput."""
    policy = diagnosis.fault_policy(
        np.asarray(json_input.numbers("prior", prior)),
        np.asarray(json_input.numbers("minutes", minutes)),
        np.asarray(json_input.numbers("outcomes", outcomes)),
    )
    return {"expected_minutes": policy.expected_minutes, "first_test": policy.first_test}


def water_film_transmission(thickness: Numbers, wavelength: str) -> Numbers:
    """The share for a wavelength in words. Raises BadInput."""
    return signal.water_film_transmission(thickness, WAVELENGTHS[wavelength])


def crosstalk_between(  # noqa: PLR0917 - two heads of three facts
    emitter: object,
    emitter_axis: object,
    receiver: object,
    receiver_axis: object,
    emitter_half_angle: Numbers,
    receiver_half_angle: Numbers,
) -> crosstalk.Crosstalk:
    """What one head does to the other. Raises BadInput."""
    emits = _head("emitter", emitter, emitter_axis, emitter_half_angle)
    sees = _head("receiver", receiver, receiver_axis, receiver_half_angle)
    return crosstalk.crosstalk_between(emits, sees)


def _head(name: str, place: object, axis: object, half_angle: Numbers) -> crosstalk.Head:
    return crosstalk.Head(json_input.point(name, place), json_input.point(f"{name}_axis", axis), half_angle)


def delay_region(
    demands: object, speed: Numbers, tolerance: Numbers, scan_time: Numbers = 0.0
) -> dict[str, object]:
    """The region's corners and middle; demands are told by their place in the list, from 0. Raises BadInput."""
    asked = json_input.demands("demands", demands)
    speed, tolerance, scan_time = (
        _single(name, value)
        for name, value in (("speed", speed), ("tolerance", tolerance), ("scan_time", scan_time))
    )
    region = delays.delay_region(asked, speed, tolerance, scan_time=scan_time)
    places = {id(one): i for i, one in enumerate(asked)}
    return {
        "corners": [list(corner) for corner in region.corners],
        "recommended": None if region.recommended is None else list(region.recommended),
        "binding": [places[id(one)] for one in region.binding],
        "conflict": [places[id(one)] for one in region.conflict],
    }


def what_counts(on_delay: Numbers, off_delay: Numbers, spans: object) -> dict[str, object]:
    """The count, the output's spans, and for each block of the trace its output, from 0, or None. Raises BadInput."""
    found = recorded.what_counts(
        _single("on_delay", on_delay), _single("off_delay", off_delay), json_input.spans("spans", spans)
    )
    return {"count": found.count, "spans": _nested(found.outputs), "belongs": list(found.belongs)}


def _single(name: str, value: Numbers) -> float:
    if np.ndim(value):
        raise BadInput(name, f"an array of {np.size(value)}", "one number")
    return float(value)


def _nested(found: object) -> object:
    """Spans, or an array of spans, as lists all the way down."""
    if isinstance(found, np.ndarray):
        return [_nested(one) for one in found]
    if isinstance(found, tuple):
        return [[float(first), float(last)] for first, last in found]
    raise TypeError(type(found))
