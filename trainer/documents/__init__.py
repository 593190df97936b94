"""YAML files with places: every fault with file, line, column, what was read and the mend."""
