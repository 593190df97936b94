"""The settings of an installation, from one table."""
