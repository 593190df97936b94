"""Published functions whose inputs have structure, from plain JSON values to the solver and back."""

from __future__ import annotations

import numpy as np

from trainer.quantities import json_input
from trainer.solver import beam, diagnosis, lockout, sun, timers
from trainer.solver.numbers import Numbers

PlainSpans = list[list[float]]


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


def _nested(found: object) -> object:
    """Spans, or an array of spans, as lists all the way down."""
    if isinstance(found, np.ndarray):
        return [_nested(one) for one in found]
    if isinstance(found, tuple):
        return [[float(first), float(last)] for first, last in found]
    raise TypeError(type(found))
