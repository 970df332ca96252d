"""Rules about findings, explanations and the conclusion."""
