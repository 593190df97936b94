"""Drawings to scale from numbers that are already worked out."""
