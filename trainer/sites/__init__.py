"""The site sheet of one wash, its plausibility, and the named values that questions use."""

from trainer.sites.reading import demo_sheet, demo_text, read_sheet
from trainer.sites.values import VALUES, site_values

__all__ = ["VALUES", "demo_sheet", "demo_text", "read_sheet", "site_values"]
