"""What people do that counts: read, decide by a rule, write, append to the log, in one transaction."""
