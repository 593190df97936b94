"""Lockout orders, best tests, spares."""

from __future__ import annotations

from trainer.quantities import dimensions as d
from trainer.quantities import structured
from trainer.quantities.functions.entries import (
    Published,
    Result,
    structure,
    word,
)
from trainer.quantities.units import unit

TABLE = (
    Published(
        "lockout_check", structured.lockout_check,
        (
            structure("sources", "1", "a list of names of energy sources"),
            structure("steps", "1", "a list of {act, source?, person?} with texts"),
            word("order", "strict", "tolerant", optional=True),
        ),
        (Result("valid", d.PLAIN, unit("1"), structure=True), Result("broken", d.PLAIN, unit("1"), structure=True)),
        "29 CFR 1910.147(d); tolerant: 29 CFR 1910.333(b)(2)",
        "Whether the steps lock out these energy sources in a right order, and every rule they break.",
    ),
)  # fmt: skip
