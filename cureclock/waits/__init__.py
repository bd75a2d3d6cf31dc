"""Estimates: when each gate opens and closes, and why. Rebuildable from facts by one command."""
