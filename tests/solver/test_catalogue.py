"""The catalogue stands as it was drawn: surveys and searches of every site rest on its outlines.

The table holds our own numbers and proves nothing of real vehicles (tests/solver/test_bodies.py and tests/published do
that). It is there so that a changed outline, which changes what is said of saved sheets, is a decision: make it, then
write the table anew with `python -m tests.solver.test_catalogue`.
"""

import csv
import importlib.util
from pathlib import Path

import pytest

from trainer.solver import bodies

TABLE = Path(__file__).with_name("catalogue.csv")
COLUMNS = ("body", "class", "front axle", "rear axle", "tire", "piece", "back", "front", "bottom", "top", "right",
           "left", "area", "middle x", "middle z")  # fmt: skip


def built_anew():
    """The catalogue as its module builds it when it is loaded, however long ago it was loaded before."""
    spec = importlib.util.spec_from_file_location(bodies.__name__, bodies.__file__)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.BODIES


def middle(corners):
    """Area and centroid of a polygon, by the shoelace formula."""
    turns = list(zip(corners, (*corners[1:], corners[0]), strict=True))
    crosses = [x1 * z2 - x2 * z1 for (x1, z1), (x2, z2) in turns]
    area = sum(crosses) / 2
    sums = [sum((a[k] + b[k]) * c for (a, b), c in zip(turns, crosses, strict=True)) for k in (0, 1)]
    return abs(area), sums[0] / (6 * area), sums[1] / (6 * area)


def lines(catalogue):
    for name, body in catalogue.items():
        wheels = (body.front_axle, body.rear_axle, body.tire_radius)
        for number, piece in enumerate(body.pieces):
            xs, zs = zip(*piece.profile, strict=True)
            sizes = (min(xs), max(xs), min(zs), max(zs), piece.from_y, piece.to_y, *middle(piece.profile))
            yield [body.name, body.vehicle_class, *wheels, number, *sizes], name


def test_the_outlines_are_those_of_the_table():
    with TABLE.open(newline="", encoding="utf-8") as file:
        wanted = list(csv.reader(file))
    found = list(lines(built_anew()))
    assert wanted[0] == list(COLUMNS)
    assert len(found) == len(wanted) - 1
    for (line, name), row in zip(found, wanted[1:], strict=True):
        assert (line[0], line[1], name) == (row[0], row[1], row[0])
        assert line[2:] == pytest.approx([float(one) for one in row[2:]], abs=1e-6)


def write():
    """The table anew."""
    with TABLE.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        for line, _ in lines(bodies.BODIES):
            writer.writerow([f"{one:.6f}" if isinstance(one, float) else one for one in line])


if __name__ == "__main__":
    write()
