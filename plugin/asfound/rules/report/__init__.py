"""Rules about the text of the report."""
