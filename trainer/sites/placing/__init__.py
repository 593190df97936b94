"""What a pair of eyes would do elsewhere: every placement that the sheet allows, and which of them nothing beats."""
