"""The physics and the rules of lockout: pure functions on SI floats and arrays; numpy only."""
