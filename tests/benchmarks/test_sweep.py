"""The exact sweep of many placements against the same worked out by shapely's vectorised functions."""

import numpy as np
import pytest
import shapely

from tests.benchmarks.paired import paired
from trainer.solver.beam import sweep
from trainer.solver.bodies import BODIES

PLACEMENTS, EVERY = 1000, 20
OFFSETS = np.linspace(-0.3, 0.3, 5)
VEHICLES = [BODIES[name] for name in sorted(BODIES)][:14]
FAR = 99.0


def placements():
    """Beams of all heights, slants and skews, from one side of a 12 ft bay to the other."""
    rng = np.random.default_rng(5)
    ends = np.empty((2, PLACEMENTS, 1, 3))
    ends[..., 0] = rng.uniform(-0.5, 0.5, (2, PLACEMENTS, 1))
    ends[0, ..., 1], ends[1, ..., 1] = -1.83, 1.83
    ends[..., 2] = rng.uniform(0.05, 2.2, (2, PLACEMENTS, 1))
    return ends


def swept(emitter, receiver):
    return [sweep(emitter, receiver, body.pieces, OFFSETS) for body in VEHICLES]


def by_shapely(emitter, receiver):
    """For each vehicle: first, last, count and longest hole, by clips, hulls and unions of shapely alone."""
    return [vehicle_by_shapely(emitter, receiver, body.pieces) for body in VEHICLES]


def vehicle_by_shapely(emitter, receiver, pieces):
    sides = {(piece.from_y, piece.to_y) for piece in pieces}
    clips = {side: clipped_by_shapely(emitter, receiver, *side) for side in sides}
    cuts = [cut_by_shapely(*clips[piece.from_y, piece.to_y], piece) for piece in pieces]
    blocked = shapely.line_merge(shapely.union_all(np.stack(cuts), axis=0))
    bounds = shapely.bounds(blocked)
    return bounds[..., 0], bounds[..., 2], shapely.get_num_geometries(blocked), shapely.length(blocked)


def clipped_by_shapely(emitter, receiver, from_y, to_y):
    """(x, z) of both ends of each beam's part between two sides, from its views from above and along the bay."""
    strips = shapely.box(-FAR, from_y + OFFSETS, FAR, to_y + OFFSETS)
    parts = []
    for axis in (0, 2):
        view = np.stack([emitter[..., (axis, 1)], receiver[..., (axis, 1)]], axis=-2)
        parts.append(shapely.intersection(shapely.linestrings(view), strips))
    # The two parts run the same way, because every beam runs from the same side of the bay.
    return tuple(
        np.stack([shapely.get_x(shapely.get_point(part, at)) for part in parts], axis=-1) for at in (0, -1)
    )


def cut_by_shapely(starts, ends, piece):
    """The part of the axis of travel at which one piece blocks: the hull of all differences, cut."""
    corners = np.array(piece.profile)
    differences = np.concatenate([starts[..., None, :] - corners, ends[..., None, :] - corners], axis=-2)
    hulls = shapely.convex_hull(shapely.multipoints(shapely.points(differences)))
    return shapely.intersection(hulls, shapely.linestrings([(-FAR, 0), (FAR, 0)]))


def test_a_thousand_placements_of_fourteen_vehicles_in_five_lanes():
    emitter, receiver = placements()
    some = slice(None, None, EVERY)
    assert len(VEHICLES) == 14
    for ours, (first, last, count, blocked) in zip(
        swept(emitter[some], receiver[some]), by_shapely(emitter[some], receiver[some]), strict=True
    ):
        seen = np.isfinite(first)
        assert seen.any() and (ours.seen == seen).all()
        assert ours.first[seen] == pytest.approx(first[seen], abs=1e-9)
        assert ours.last[seen] == pytest.approx(last[seen], abs=1e-9)
        assert (ours.count == np.where(seen, count, 0)).all()
        merged = ours.merged()
        assert np.nansum(merged.lasts - merged.firsts, axis=0)[seen] == pytest.approx(blocked[seen], abs=1e-9)
    found = paired(
        lambda _: swept(emitter, receiver),
        lambda _: by_shapely(emitter[some], receiver[some]),
        rounds=2,
        calls=1,
    )
    faster = EVERY / found.ratio
    work = f"{PLACEMENTS} placements x {len(VEHICLES)} vehicles x {len(OFFSETS)} lanes"
    found.say(f"{work}, against shapely on one placement in {EVERY}")
    print(f"shapely's time taken {EVERY} times, ours is {faster:.0f} times faster")
    assert faster >= 50
