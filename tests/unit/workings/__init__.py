"""Calculations of a case: taken in, carried out, weighed."""
