"""Skills and glossary: what is learned, topic by topic, and the words that lessons explain."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.documents import Faults, Node, fields, flag, items, read_document, text
from trainer.language.entries import IDENTIFIER, NAME
from trainer.language.names import LANGUAGES
from trainer.quantities.dimensions import Language

Texts = Mapping[Language, str]


@dataclass(frozen=True)
class Skill:
    """The smallest thing learned; `hazard`: a mistake can hurt somebody."""

    id: str
    title: Texts
    hazard: bool


@dataclass(frozen=True)
class Topic:
    """Skills that are met together, in order."""

    id: str
    title: Texts
    skills: tuple[Skill, ...]


@dataclass(frozen=True)
class Term:
    """A word of the trade in both languages, with its plain meaning."""

    id: str
    term: Texts
    meaning: Texts


def load_skills(source: str, file: str) -> tuple[Topic, ...]:
    """The topics of a skills file, in order. Raises DocumentError with all faults."""
    faults = Faults()
    parts = fields(read_document(source, file), ["topics"], [], faults)
    topics = [_topic(one, faults) for one in items(parts["topics"], faults)] if parts else []
    found = tuple(topic for topic in topics if topic is not None)
    faults.raise_if_any()
    return found


def _topic(node: Node, faults: Faults) -> Topic | None:
    parts = fields(node, ["id", "title", "skills"], [], faults)
    if len(parts) < 3:
        return None
    skills = [_skill(one, parts["id"].written, faults) for one in items(parts["skills"], faults)]
    ids = [skill.id for skill in skills if skill is not None]
    if len(set(ids)) < len(ids):
        faults.add(parts["skills"], "A skill stands twice.", "Give each its own id.")
    title = texts(parts["title"], faults)
    return Topic(parts["id"].written, title, tuple(skill for skill in skills if skill is not None))


def _skill(node: Node, topic: str, faults: Faults) -> Skill | None:
    parts = fields(node, ["id", "title", "hazard"], [], faults)
    if len(parts) < 3:
        return None
    written = parts["id"].written
    if not IDENTIFIER.fullmatch(written) or written.partition(".")[0] != topic:
        faults.add(
            parts["id"], "A skill's id is its topic, a point and a name.", f"Write it as `{topic}.name`."
        )
    return Skill(written, texts(parts["title"], faults), flag(parts["hazard"], faults))


def load_glossary(source: str, file: str) -> dict[str, Term]:
    """The terms of a glossary file by id, in the file's order. Raises DocumentError with all faults."""
    faults = Faults()
    parts = fields(read_document(source, file), ["terms"], [], faults)
    found: dict[str, Term] = {}
    for node in items(parts["terms"], faults) if parts else []:
        term = _term(node, faults)
        if term is not None and term.id in found:
            faults.add(node, f"The term `{term.id}` stands twice.", "Keep one of them.")
        elif term is not None:
            found[term.id] = term
    faults.raise_if_any()
    return found


def _term(node: Node, faults: Faults) -> Term | None:
    parts = fields(node, ["id", "term", "meaning"], [], faults)
    if len(parts) < 3:
        return None
    if not NAME.fullmatch(parts["id"].written):
        faults.add(parts["id"], "An id is small letters, digits and _.", "Change it.")
    return Term(parts["id"].written, texts(parts["term"], faults), texts(parts["meaning"], faults))


def texts(node: Node, faults: Faults) -> Texts:
    """A plain text in both languages."""
    parts = fields(node, LANGUAGES, [], faults)
    return {language: text(parts[language], faults) for language in LANGUAGES if language in parts}
