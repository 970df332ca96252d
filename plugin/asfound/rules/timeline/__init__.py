"""Clocks and the events read off them."""
