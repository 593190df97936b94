"""A survey told to one reader: sections of facts, tables and drawings, for a page, a printed paper or a terminal."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Table:
    """A table in words: the first cell of each row names it; `numbers`: which columns hold numbers."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()


@dataclass(frozen=True)
class Section:
    """One part of the survey.

    key: its name in addresses; facts: names and what they are; drawings: names of `scenes.survey_scenes`
    """

    key: str
    title: str
    facts: tuple[tuple[str, str], ...] = ()
    tables: tuple[Table, ...] = ()
    drawings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class FindingTold:
    """One finding in words: where it is, what it leads to, what was found, what to change."""

    key: str
    part: str
    place: str
    leads_to: str
    what: str
    mends: tuple[str, ...]


@dataclass(frozen=True)
class Caution:
    """A signal word, `warning` or `notice`, and what it says."""

    word: str
    text: str


@dataclass(frozen=True)
class Report:
    """A whole survey in words; `cautions`: what to read before anything is changed."""

    site: str
    title: str
    purpose: str
    verdict: str
    findings: tuple[FindingTold, ...]
    cautions: tuple[Caution, ...]
    bay: str
    sections: tuple[Section, ...]
