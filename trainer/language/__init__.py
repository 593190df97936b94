"""The question language: load, check, draw numbers, show, grade, audit. No database, no web, no clock."""
