"""Ratios against a reference that runs in turn with ours, so that a slow machine slows both."""
