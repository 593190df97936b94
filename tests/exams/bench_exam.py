"""An exam with a bench beside its questions, for tests of exams, acts and pages."""

from dataclasses import replace
from functools import partial

from tests.six_kinds import SITE, six_kinds, six_scheme
from trainer.benches import catalogue
from trainer.exams.bench_slots import task_of_slot
from trainer.exams.paper import Setting, set_paper
from trainer.exams.scheme import BenchItem
from trainer.sites.reading import demo_sheet

SECRET = bytes(range(32))


def bench_scheme(bench="delay", level="1", skill="eyes.choice", area="eyes", **facts):
    """The six kinds, with a bench in the place of one of them."""
    usual = six_scheme(**facts)
    item = BenchItem(bench, level, skill)
    areas = tuple(replace(one, benches=(item,)) if one.id == area else one for one in usual.areas)
    return replace(usual, areas=areas)


def bench_paper(bench="delay", level="1", label="exam|ana-1|first", system="us", **facts):
    """One person's paper with a bench."""
    setting = Setting(SITE, system, label, sheet=demo_sheet)
    return set_paper(bench_scheme(bench, level, **facts), six_kinds(), six_kinds().find, SECRET, setting)


def bench_slot(paper):
    """The slot of its bench."""
    return next(slot for slot in paper.form.slots if slot.bench)


def tasks(paper):
    """What makes the tasks of its benches."""
    return partial(task_of_slot, sheet=demo_sheet(), secret=SECRET, system=paper.system)


def best_acts(paper):
    """Acts that pass its bench."""
    slot = bench_slot(paper)
    return catalogue.benches()[slot.bench].best(tasks(paper)(slot)).acts
