"""The site sheet of one wash, its plausibility, and the named values that questions use."""
