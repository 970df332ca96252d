"""The demonstration cases: what the check says of them, and whether they are true to themselves."""
