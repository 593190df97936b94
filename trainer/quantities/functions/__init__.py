"""Rows of the table of published functions, one module a subject."""
