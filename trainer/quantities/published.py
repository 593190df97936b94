"""The table of published functions: name, inputs, results, dimensions, ranges, source.

`stringline calc` and the question language call the solver through this table and no other way. Importing it loads
the solver, so `trainer.quantities` itself does not.
"""

from __future__ import annotations

from collections.abc import Mapping

from trainer.quantities.functions import deciding, electric, light, seeing, sun, travel
from trainer.quantities.functions.entries import Input, Published, Result

__all__ = ["PUBLISHED", "Input", "Published", "Result"]

PUBLISHED: Mapping[str, Published] = {
    one.name: one for subject in (seeing, light, travel, electric, deciding, sun) for one in subject.TABLE
}
