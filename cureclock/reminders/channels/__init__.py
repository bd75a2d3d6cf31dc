"""Ways to reach somebody: one file each."""
