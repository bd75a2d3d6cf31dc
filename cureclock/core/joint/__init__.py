"""Joints before the glue: shape, pressure, clamps, spreading time, glue to mix, pot life."""
