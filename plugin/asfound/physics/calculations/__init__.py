"""The calculations that can be run alone, by field of work."""
