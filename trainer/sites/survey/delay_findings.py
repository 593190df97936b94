"""What is wrong with a pair's delays, demand by demand, and the delays that would do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from trainer.sites.said import Said
from trainer.sites.survey.changing import changed
from trainer.sites.survey.delays import lateness, survey_delays
from trainer.sites.survey.making import amount, at_pair, rounded, set_fields
from trainer.sites.survey.results import Amount, Finding, Mend, PairSurvey, Survey
from trainer.sites.survey.seeing import Speeds
from trainer.sites.survey.seeing_findings import move, sees_all
from trainer.solver.delays import LONGEST_SETTING

_ROOM = 0.1  # s; how far apart the two ends of what fits should be, so that it can be set
# What each demand is, where two of them cannot hold together.
DEMANDS: Mapping[str, Said] = {
    "ignore": Said("to ignore somebody walking through", "ignorar a alguien que pasa caminando"),
    "bridge": Said("to keep one car whole", "no partir un carro en dos"),
    "keep_apart": Said("to keep two cars apart", "separar dos carros"),
    "nose": Said("to report the nose in time", "avisar la trompa a tiempo"),
    "count": Said("to count the shortest car", "contar el carro más corto"),
    "length": Said("to leave lengths as they are", "no cambiar los largos"),
}


def delay_findings(survey: Survey, pair: PairSurvey) -> Iterator[Finding]:
    """One finding for each demand that the present delays do not meet; one alone where nothing could meet all."""
    if pair.delays.holds:
        return
    if pair.delays.recommended is None:
        yield _nothing_fits(survey, pair)
        return
    broken = set(pair.delays.broken)
    for kind, make in _BROKEN.items():
        if kind in broken and not (kind == "count" and "nose" in broken):
            yield make(survey, pair)


def _on_delay(pair: PairSurvey) -> tuple[Mend, ...]:
    return (_set(pair, "set_on_delay", "on_delay", 0),)


def _off_delay(pair: PairSurvey) -> tuple[Mend, ...]:
    return (_set(pair, "set_off_delay", "off_delay", 1),)


def _both(pair: PairSurvey) -> tuple[Mend, ...]:
    on, off = pair.delays.recommended or pair.delays.present
    values = {"on_delay": _seconds(on), "off_delay": _seconds(off)}
    return (set_fields("set_both_delays", f"eyes.{pair.eye.id}", values),)


def _set(pair: PairSurvey, key: str, field: str, axis: int) -> Mend:
    """The middle of what fits on this axis, and its two ends."""
    middle = (pair.delays.recommended or pair.delays.present)[axis]
    ends = [corner[axis] for corner in pair.delays.region]
    return set_fields(
        key, f"eyes.{pair.eye.id}", {field: _seconds(middle)},
        least=amount(min(ends), "s"), most=amount(max(ends), "s"),
    )  # fmt: skip


def _seconds(value: float) -> Amount:
    """As it can be set: to a hundredth of a second."""
    return rounded(value, "s", 0.01, up=False)


def _walkers(_: Survey, pair: PairSurvey) -> Finding:
    found, limit = amount(pair.eye.on_delay, "s"), amount(pair.delays.walker or 0.0, "s")
    return at_pair("walkers", "miscounts", pair, found=found, limit=limit, mends=_on_delay(pair))


def _splits(survey: Survey, pair: PairSurvey) -> Finding:
    worst = max((one for one in pair.bodies if not one.turned_away), key=lambda one: one.bridge)
    return at_pair(
        "splits",
        "miscounts",
        pair,
        found=amount(pair.eye.off_delay, "s"),
        limit=amount(worst.bridge / Speeds.of(survey.sheet).slow, "s"),
        mends=_off_delay(pair),
        numbers={"hole": amount(worst.bridge, "in")},
        names={"body": worst.name},
    )


def _joins(survey: Survey, pair: PairSurvey) -> Finding:
    limit = pair.delays.gap / Speeds.of(survey.sheet).fast - 2 * survey.sheet.conveyor.scan_time
    found = amount(pair.eye.off_delay, "s")
    numbers = {"gap": amount(pair.delays.gap, "in")}
    return at_pair(
        "joins", "miscounts", pair,
        found=found, limit=amount(limit, "s"), mends=_off_delay(pair), numbers=numbers,
    )  # fmt: skip


def _late(survey: Survey, pair: PairSurvey) -> Finding:
    scans = Speeds.of(survey.sheet).fast * 2 * survey.sheet.conveyor.scan_time
    found = pair.delays.beam_late + lateness(survey.sheet, pair.eye.on_delay) + scans
    key = "edges_late" if pair.eye.purpose == "profile" else "nose_late"
    limit = amount(pair.delays.nose_error, "in")
    return at_pair(key, "miscounts", pair, found=amount(found, "in"), limit=limit, mends=_on_delay(pair))


def _never_counts(survey: Survey, pair: PairSurvey) -> Finding:
    part = min(one.part for one in pair.bodies if one.part > 0 and not one.turned_away)
    limit = amount(part / Speeds.of(survey.sheet).fast, "s")
    found = amount(pair.eye.on_delay, "s")
    return at_pair("never_counts", "miscounts", pair, found=found, limit=limit, mends=_on_delay(pair))


def _blurs(survey: Survey, pair: PairSurvey) -> Finding:
    apart = Speeds.of(survey.sheet).fast * abs(pair.eye.off_delay - pair.eye.on_delay)
    limit = amount(pair.delays.nose_error, "in")
    return at_pair("blurs", "miscounts", pair, found=amount(apart, "in"), limit=limit, mends=_both(pair))


_BROKEN = {
    "ignore": _walkers,
    "bridge": _splits,
    "keep_apart": _joins,
    "nose": _late,
    "count": _never_counts,
    "length": _blurs,
}


def _nothing_fits(survey: Survey, pair: PairSurvey) -> Finding:
    """Two demands that ask for opposite things; which fact to change so that both can hold."""
    first, *others = pair.delays.conflict
    if not others:
        return _no_delay(survey, pair)
    second = others[0]
    needed, allowed = _ask(survey, pair, first, second)
    return at_pair(
        "no_delays",
        "miscounts",
        pair,
        found=amount(needed, "s"),
        limit=amount(allowed, "s"),
        mends=_ease(survey, pair),
        names={"first": DEMANDS[first], "second": DEMANDS[second]},
    )


def _no_delay(survey: Survey, pair: PairSurvey) -> Finding:
    """A hole so long, or a walker so slow, that no delay that can be set bridges or ignores it."""
    bridging = "bridge" in pair.delays.conflict
    needed = pair.delays.bridge / Speeds.of(survey.sheet).slow if bridging else pair.delays.walker or 0.0
    return at_pair(
        "no_delay",
        "miscounts",
        pair,
        found=amount(needed, "s"),
        limit=amount(LONGEST_SETTING, "s"),
        mends=move(survey, pair, sees_all) if bridging else (Mend("slower_or_apart", (), {}),),
        names={"first": DEMANDS[pair.delays.conflict[0]]},
    )


def _ask(survey: Survey, pair: PairSurvey, *kinds: str) -> tuple[float, float]:
    """The least delay that the conflict asks for, and the most that it allows [s]."""
    speeds, scans = Speeds.of(survey.sheet), 2 * survey.sheet.conveyor.scan_time
    if "bridge" in kinds:
        return pair.delays.bridge / speeds.slow, max(0.0, pair.delays.gap / speeds.fast - scans)
    room = pair.delays.nose_error - pair.delays.beam_late - lateness(survey.sheet, 0.0)
    return pair.delays.walker or 0.0, max(0.0, room / speeds.fast - scans)


def _ease(survey: Survey, pair: PairSurvey) -> tuple[Mend, ...]:
    """The gap or the lateness that leaves a tenth of a second of room, and delays that then do."""
    conflict, speeds = set(pair.delays.conflict), Speeds.of(survey.sheet)
    room = _ROOM + 2 * survey.sheet.conveyor.scan_time
    if conflict == {"bridge", "keep_apart"}:
        gap = rounded((pair.delays.bridge / speeds.slow + room) * speeds.fast, "in", 1, up=True)
        return (_eased(survey, pair, "wider_gap", {"smallest_gap": gap}),)
    if conflict == {"ignore", "nose"}:
        way = pair.delays.beam_late + lateness(survey.sheet, (pair.delays.walker or 0.0) + room)
        late = rounded(way, "in", 0.5, up=True)
        return (_eased(survey, pair, "allow_later", {"nose_error": late}),)
    return (Mend("slower_or_apart", (), {}),)


def _eased(survey: Survey, pair: PairSurvey, key: str, values: Mapping[str, Amount]) -> Mend:
    """The conveyor's fact set so, and this pair's delays in the middle of what it then allows."""
    mend = set_fields(key, "conveyor", values)
    on, off = survey_delays(changed(survey.sheet, mend.changes), pair.eye, pair.bodies).recommended or (0, 0)
    delays = {"on_delay": _seconds(on), "off_delay": _seconds(off)}
    set_too = set_fields(key, f"eyes.{pair.eye.id}", delays)
    return Mend(key, (*mend.changes, *set_too.changes), {**mend.numbers, **set_too.numbers})
