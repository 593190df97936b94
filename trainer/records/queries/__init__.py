"""Queries by subject; each returns the frozen dataclasses of the rules, never table objects."""
