"""Writing a question without code: numbers found in a plain text, slips worked out from the calculation, the file.

The file stays the truth: what a page changes is written into its YAML, comments kept.
"""
