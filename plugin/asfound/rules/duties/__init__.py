"""Rules about reporting duties and about others at risk. Those about the facility's own duties are private."""
