"""Item statistics, the Rasch model, consistency of decisions: pure functions over arrays of answers."""
