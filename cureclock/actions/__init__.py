"""Verbs: one file for each thing a maker or a sensor does."""
