"""Rules about how explanations were weighed and how strongly the conclusion is held."""
