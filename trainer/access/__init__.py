"""Who may do what, how often one may try to sign in, and what a password or PIN must be."""
