"""The question language: reads questions and lessons, proves them, draws their numbers, shows, grades and audits.

This room knows no database, no web and no clock, and draws nothing but numbers from a secret and a label that are
handed in; a figure is a name with its numbers. Its doors: `loading` and `lessons` read, `draws` makes an instance,
`rendering` shows it, `grading` judges an answer, `auditing` proves a family.
"""
