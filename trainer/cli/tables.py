"""Rows as files: JSON lists, and CSV that no spreadsheet runs."""

from __future__ import annotations

import csv
import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import Any

from trainer.records.log import moment_text

# OWASP, "CSV Injection": a spreadsheet takes a cell that begins with one of these for a formula.
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def write_json(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Rows as a JSON list."""
    plain = [{name: _plain(value) for name, value in row.items()} for row in rows]
    path.write_text(json.dumps(plain, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")


def write_csv(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Rows as CSV (RFC 4180): a head, CRLF, quotes doubled, no cell that a spreadsheet would run."""
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\r\n")
        if rows:
            writer.writerow(rows[0])
            writer.writerows([csv_cell(_plain(value)) for value in row.values()] for row in rows)


def csv_cell(value: object) -> object:
    """A cell as it is written: text that a spreadsheet would take for a formula gets an apostrophe in front."""
    if isinstance(value, str) and value.startswith(FORMULA_STARTS):
        return f"'{value}"
    return value


def _plain(value: object) -> object:
    return moment_text(value) if isinstance(value, datetime) else value
