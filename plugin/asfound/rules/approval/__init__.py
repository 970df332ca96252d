"""Who signed, what they signed, and whether it still speaks of the case."""
