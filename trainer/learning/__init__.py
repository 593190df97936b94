"""Mastery per skill, how much help, when to review, and the one next thing."""
