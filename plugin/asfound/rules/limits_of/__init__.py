"""Rules about limits and the verdicts that rest on them."""
