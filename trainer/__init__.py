"""Stringline: teach, practise and certify work on photo-eyes of a conveyor wash."""
