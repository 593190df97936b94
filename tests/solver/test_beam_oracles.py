"""Blocked intervals against three methods that share nothing with ours, over thousands of random cases.

Shapely: the beam clipped in two views, the hull of all differences of beam and profile, cut by the axis of travel. A
ray caster: the beam clipped by each face of the extruded piece, positions of the vehicle narrowed down. Exact
fractions: the corners of the linear programme in (position, place along the beam), on a lattice where many touch.
"""

from fractions import Fraction
from functools import partial
from itertools import combinations

import numpy as np
import pytest
from shapely import LineString, MultiPoint, box

from trainer.solver.beam import Piece, blocked_interval
from trainer.solver.outline import hull

FAR = 30.0


def random_piece(rng, corners=8):
    """The hull of random points, extruded over a random span."""
    while True:
        points = rng.uniform(-2, 2, (rng.integers(3, corners + 1), 2))
        if MultiPoint(points).convex_hull.area > 0.05:
            from_y = rng.uniform(-2, 1)
            profile = hull([(float(x), float(z)) for x, z in points])
            return Piece(profile, float(from_y), float(from_y + rng.uniform(0.1, 2)))


def random_beam(rng):
    """Ends of a beam that goes mostly across."""
    start, end = rng.uniform(-2, 2, 3), rng.uniform(-2, 2, 3)
    start[1], end[1] = rng.uniform(-3, -0.5), rng.uniform(0.5, 3)
    return (start, end) if rng.random() < 0.5 else (end, start)


def shapely_interval(emitter, receiver, piece, offset):
    (x1, y1, z1), (x2, y2, z2) = emitter, receiver
    strip = box(-FAR, piece.from_y + offset, FAR, piece.to_y + offset)
    views = [LineString([(a, y1), (b, y2)]).intersection(strip) for a, b in ((x1, x2), (z1, z2))]
    if any(view.is_empty for view in views):
        return None
    plan, front = (sorted(view.coords, key=lambda c: c[1]) for view in views)
    differences = [
        (x - px, z - pz) for (x, _), (z, _) in zip(plan, front, strict=True) for px, pz in piece.profile
    ]
    cut = MultiPoint(differences).convex_hull.intersection(LineString([(-FAR, 0), (FAR, 0)]))
    return None if cut.is_empty else (cut.bounds[0], cut.bounds[2])


def test_two_thousand_random_beams_agree_with_shapely():
    rng = np.random.default_rng(20240601)
    seen = 0
    for _ in range(2000):
        piece, (emitter, receiver), offset = random_piece(rng), random_beam(rng), float(rng.uniform(-1, 1))
        expected = shapely_interval(emitter, receiver, piece, offset)
        first, last = blocked_interval(emitter, receiver, piece, offset)
        if expected is None or np.isnan(first):
            # Shapely rounds where it clips: one of the two may find a touch that the other misses.
            assert (expected is None or np.ptp(expected) < 1e-6) and not last - first > 1e-6
            continue
        seen += 1
        assert (first, last) == pytest.approx(expected, abs=1e-9)
    assert seen > 1000


def faces(piece, offset):
    """Outward normals (n, 3) and distances (n,) of the extruded piece's faces: inside is normal . point <= distance."""
    corners = np.array(piece.profile)
    middle = corners.mean(axis=0)
    edges = np.roll(corners, -1, axis=0) - corners
    normals = np.stack([edges[:, 1], np.zeros(len(edges)), -edges[:, 0]], axis=1)
    outward = np.sign(((corners - middle) * normals[:, [0, 2]]).sum(axis=1))[:, None] * normals
    distances = (outward[:, [0, 2]] * corners).sum(axis=1)
    sides = np.array([[0, -1, 0], [0, 1, 0]])
    return np.vstack([outward, sides]), np.append(distances, [-(piece.from_y + offset), piece.to_y + offset])


def hits(emitter, receiver, normals, distances, positions):
    """Whether the segment meets the polyhedron, moved along x to each position: clipped by face after face."""
    ahead = normals @ (receiver - emitter)
    behind = distances[:, None] - (normals @ emitter)[:, None] + normals[:, :1] * positions
    with np.errstate(divide="ignore", invalid="ignore"):
        at = behind / ahead[:, None]
    enters = np.where(ahead[:, None] < 0, at, 0.0).max(axis=0).clip(min=0)
    leaves = np.where(ahead[:, None] > 0, at, 1.0).min(axis=0).clip(max=1)
    outside = ((ahead == 0)[:, None] & (behind < 0)).any(axis=0)
    return (enters <= leaves) & ~outside


def narrowed(hit, inside, outside):
    """Where the hits end, between a position that hits and one that does not: parted in 64, ten times over."""
    for _ in range(10):
        positions = np.linspace(inside, outside, 65)
        met = int(np.flatnonzero(hit(positions))[-1])
        inside, outside = positions[met], positions[min(met + 1, 64)]
    return inside


def test_two_thousand_random_beams_agree_with_a_ray_caster():
    rng = np.random.default_rng(7)
    grid = np.linspace(-6, 6, 241)
    seen = 0
    for _ in range(2000):
        piece, (emitter, receiver), offset = random_piece(rng), random_beam(rng), float(rng.uniform(-1, 1))
        first, last = blocked_interval(emitter, receiver, piece, offset)
        hit = partial(hits, emitter, receiver, *faces(piece, offset))
        met = grid[hit(grid)]
        if not len(met):  # an interval shorter than the grid's step may still lie between two positions
            short = np.isnan(first) or last - first < 0.05
            assert short and (not last - first > 1e-9 or hit(np.array([(first + last) / 2])).all())
            continue
        seen += 1
        assert first == pytest.approx(narrowed(hit, met[0], -FAR), abs=1e-9)
        assert last == pytest.approx(narrowed(hit, met[-1], FAR), abs=1e-9)
    assert seen > 1000


def exact_interval(emitter, receiver, piece, offset):
    """Least and greatest position at which the segment meets the piece, in fractions; None where it never does.

    Constraints a * position + b * place <= c; the extremes lie where two of them meet.
    """
    emitter, receiver = ([Fraction(v) for v in point] for point in (emitter, receiver))
    along = [b - a for a, b in zip(emitter, receiver, strict=True)]
    corners = [(Fraction(x), Fraction(z)) for x, z in piece.profile]
    turn = sum(
        x1 * z2 - x2 * z1 for (x1, z1), (x2, z2) in zip(corners, corners[1:] + corners[:1], strict=True)
    )
    rows = [(0, -1, 0), (0, 1, 1)]
    for (x1, z1), (x2, z2) in zip(corners, corners[1:] + corners[:1], strict=True):
        nx, nz = (z2 - z1, x1 - x2) if turn > 0 else (z1 - z2, x2 - x1)
        rows.append((-nx, nx * along[0] + nz * along[2], nx * (x1 - emitter[0]) + nz * (z1 - emitter[2])))
    rows.append((0, along[1], Fraction(piece.to_y) + Fraction(offset) - emitter[1]))
    rows.append((0, -along[1], emitter[1] - Fraction(piece.from_y) - Fraction(offset)))
    found = []
    for (a1, b1, c1), (a2, b2, c2) in combinations(rows, 2):
        determinant = a1 * b2 - a2 * b1
        if determinant:
            position, place = (c1 * b2 - c2 * b1) / determinant, (a1 * c2 - a2 * c1) / determinant
            if all(a * position + b * place <= c for a, b, c in rows):
                found.append(position)
    return (min(found), max(found)) if found else None


def lattice_case(rng):
    """A piece and a beam whose corners, sides and clipped ends are all whole eighths: no rounding decides a touch."""
    while True:
        points = rng.integers(0, 4, (rng.integers(3, 7), 2)).tolist()
        if MultiPoint(points).convex_hull.area > 0:
            break
    from_y = int(rng.integers(-3, 3))
    piece = Piece(hull([(float(x), float(z)) for x, z in points]), from_y, from_y + int(rng.integers(1, 4)))
    emitter, receiver = ([int(v) for v in rng.integers(-1, 6, 3)] for _ in range(2))
    kind = rng.choice(["across", "across", "along", "level", "upright"])
    emitter[1], receiver[1] = (-4, 4) if rng.random() < 0.5 else (4, -4)
    if kind == "along":
        emitter[1] = receiver[1] = int(rng.integers(-3, 4))
        receiver[0] += emitter == receiver
    if kind == "level":
        receiver[2] = emitter[2]
    if kind == "upright":
        receiver[0] = emitter[0]
    return piece, emitter, receiver, int(rng.integers(-1, 2))


def test_touching_blocks_exactly_where_fractions_say_so():
    rng = np.random.default_rng(3)
    blocked = clear = touched = 0
    for _ in range(600):
        piece, emitter, receiver, offset = lattice_case(rng)
        expected = exact_interval(emitter, receiver, piece, offset)
        first, last = blocked_interval(emitter, receiver, piece, offset)
        if expected is None:
            assert np.isnan(first) and np.isnan(last)
            clear += 1
            continue
        assert (first, last) == pytest.approx([float(end) for end in expected], abs=1e-12)
        blocked += 1
        touched += expected[0] == expected[1] or grazes(emitter, receiver, piece, offset)
    assert blocked > 240 and clear > 120 and touched > 60


def grazes(emitter, receiver, piece, offset):
    """Whether the beam would be free if the piece were smaller by a hair on every side, or has an end on a face."""
    shrunk = Fraction(1, 10**6)
    zs = [z for _, z in piece.profile]
    inner = Piece(piece.profile, piece.from_y + float(shrunk), piece.to_y - float(shrunk))
    heights = {emitter[2], receiver[2]}
    level = len(heights) == 1 and heights <= {min(zs), max(zs)}
    return level or exact_interval(emitter, receiver, inner, offset) is None


EDGE = Piece(((0.0, 0.0), (-1.0, 1.0), (-4.0, 1.0), (-4.0, 0.0)), -1.0, 1.0)


@pytest.mark.parametrize(
    ("emitter", "receiver", "expected"),
    [
        pytest.param((0, -2, 1.0), (0, 2, 1.0), (1, 4), id="level-with-the-roof"),
        pytest.param((0, -2, 0.0), (0, 2, 0.0), (0, 4), id="level-with-the-sill"),
        pytest.param((0, -2, 0.5), (0, -1, 0.5), (0.5, 4), id="ends-on-the-side"),
        pytest.param((0, 1, -1.0), (0, 1, 3.0), (0, 4), id="upright-along-the-side"),
        pytest.param((0, 0, -1.0), (0, 0, 0.0), (0, 4), id="upright-up-to-the-sill"),
        pytest.param((1, 0, 0.0), (0, 0, 1.0), (1, 5), id="along-the-slope"),
        pytest.param((0, -2, 1.0), (0, 2, 1.5), None, id="just-over-the-roof"),
        pytest.param((0, -1, 1.0), (0, 1, 1.5), (1, 4), id="one-end-on-the-roof"),
        pytest.param((-1, -2, 0.5), (3, -2, 0.5), None, id="along-travel-beside"),
        pytest.param((-1, 0.5, 0.5), (3, 0.5, 0.5), (-0.5, 7), id="along-travel-through"),
        pytest.param((0, -2, 1 + 1e-12), (0, 2, 1 + 1e-12), None, id="a-hair-over-the-roof"),
    ],
)
def test_grazing_beams(emitter, receiver, expected):
    first, last = blocked_interval(emitter, receiver, EDGE)
    if expected is None:
        assert np.isnan(first) and np.isnan(last)
    else:
        assert (first, last) == pytest.approx(expected, abs=1e-15)
