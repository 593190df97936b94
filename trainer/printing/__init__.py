"""Pages that are printed: sheets of PDF with their fonts, tables, cautions and vector drawings."""
