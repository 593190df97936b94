"""The survey of one wash: what its eyes see and miss, by its own numbers; findings first, worst first."""
