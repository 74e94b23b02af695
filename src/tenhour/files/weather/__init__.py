"""Weather files of many kinds to one series."""
