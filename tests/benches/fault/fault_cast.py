"""Tasks for the tests of the fault bench: a sheet as wanted, and every task that a level can give."""

from dataclasses import replace

from trainer.benches import fault
from trainer.benches.acts import Act
from trainer.language.draws import Stream
from trainer.sites.reading import demo_sheet

SHEET = demo_sheet()
DARK = replace(SHEET, eyes=tuple(replace(eye, operate="dark") for eye in SHEET.eyes))


def make(level=2, seed="1", system="us", sheet=SHEET, **fixed):
    return fault.make_task(sheet, {"level": str(level), **fixed}, Stream(b"secret", seed), system)


def with_hidden(task):
    """The same task with each fault hidden in it that can be there."""
    return [replace(task, hidden=place) for place, chance in enumerate(task.chances) if chance]


def make_test(name):
    return Act("test", {"test": name})


ISOLATE = Act("isolate", {})


def name_act(fault_id, repair):
    return Act("name", {"fault": fault_id, "repair": repair})
