"""Dimensions and units; numbers read and written as people do; the table of published functions."""
