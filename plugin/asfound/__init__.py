"""Asfound: from a folder of evidence to a cross-examined report.

The package is a house of floors; imports only go down. See the contributor guide for the drawing.
"""
