"""Single values of a question's file: read as a page shows them, and written as YAML that stays what was typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.representer import RoundTripRepresenter
from ruamel.yaml.scalarfloat import ScalarFloat
from ruamel.yaml.scalarstring import DoubleQuotedScalarString, FoldedScalarString, LiteralScalarString

from trainer.language.names import LANGUAGES

Text = Mapping[str, str]  # by language; a language that is not written yet has ""
NOTHING: Text = dict.fromkeys(LANGUAGES, "")
WIDEST = 100_000  # a text stays on its line, however long


def round_trip() -> YAML:
    """Reads and writes a file so that all of it stays that is not changed."""
    made = YAML()
    made.preserve_quotes = True
    made.width = WIDEST
    made.indent(mapping=2, sequence=4, offset=2)
    made.Representer = _Writer
    return made


class _Writer(RoundTripRepresenter):
    """Writes numbers as they were written, and one of which the library loses its way, such as `-0e-0`, plainly."""

    def represent_scalar_float(self, data: Any) -> Any:
        """A number with a point or an exponent."""
        try:
            return super().represent_scalar_float(data)
        except ValueError:
            return self.represent_scalar("tag:yaml.org,2002:float", repr(float(data)))


_Writer.add_representer(ScalarFloat, _Writer.represent_scalar_float)


def flow_map(parts: Mapping[str, Any]) -> CommentedMap:
    """A mapping on one line."""
    made = CommentedMap(parts)
    made.fa.set_flow_style()
    return made


def flow_list(names: Sequence[str]) -> CommentedSeq:
    """A list on one line."""
    made = CommentedSeq(names)
    made.fa.set_flow_style()
    return made


def number_of(written: str) -> Any:
    """`140` as a number, `10 in` as a text."""
    return int(written) if written.isascii() and written.isdecimal() else scalar(written)


def like(old: Any, written: str) -> Any:
    """A text in the way that the old one was written: folded over lines, or with lines of its own."""
    if "\n" in written.strip("\n"):
        return LiteralScalarString(written)
    return FoldedScalarString(written) if isinstance(old, FoldedScalarString) else scalar(written)


def scalar(written: str) -> Any:
    """A text that YAML would take for something else, or that holds braces, goes into quotes."""
    if "\n" in written.strip("\n"):
        return LiteralScalarString(written)
    risky = written[:1] in "{[&*!|>%@`\"'#?-:" or ": " in written or " #" in written or written.endswith(":")
    return DoubleQuotedScalarString(written) if risky or _is_other(written) else written


def _is_other(written: str) -> bool:
    """Whether YAML would read a number, a flag or nothing."""
    try:
        float(written)
    except ValueError:
        return written.lower() in ("true", "false", "null", "~", "yes", "no", "on", "off", "")
    return True


def word(value: Any) -> str:
    """A plain value as it is typed; nothing for what is none."""
    if isinstance(value, bool) or value is None or isinstance(value, dict | list):
        return ""
    return f"{value:g}" if isinstance(value, float) else str(value)


def text_of(value: Any) -> Text:
    """A text by language."""
    parts = mapping_of(value)
    return {language: word(parts.get(language)) for language in LANGUAGES}


def mapping_of(value: Any) -> dict[str, Any]:
    """The value if it is a mapping, else an empty one."""
    return value if isinstance(value, dict) else {}


def list_of(value: Any) -> list[Any]:
    """The value if it is a list, else an empty one."""
    return value if isinstance(value, list) else []
