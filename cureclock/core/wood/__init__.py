"""Wood: how wet it is, how far it moves, how long it dries, and how slowly it warms."""
