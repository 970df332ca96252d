"""Reporting duties: what applies, how it is counted out, and that none of it leaves the house."""
