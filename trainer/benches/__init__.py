"""Benches: exercises in which a learner acts and the solver scores; each kind is a package with the same few names.

This room draws tasks, folds acts, scores and shows. It knows no database, no web and no clock; whatever a task draws
comes from an HMAC stream, so a task and its acts replay to the same score for ever. docs/benches.md shows how to add
one.
"""
