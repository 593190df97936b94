"""YAML documents with places: each fault is told with file, line, column, what was read and its mend."""

from trainer.documents.faults import DocumentError, Fault, Faults, Place
from trainer.documents.fields import fields, flag, items, mapping, number, text, whole
from trainer.documents.nodes import Node, plain
from trainer.documents.reading import read_document
from trainer.documents.rewriting import rewritten

__all__ = [
    "DocumentError",
    "Fault",
    "Faults",
    "Node",
    "Place",
    "fields",
    "flag",
    "items",
    "mapping",
    "number",
    "plain",
    "read_document",
    "rewritten",
    "text",
    "whole",
]
