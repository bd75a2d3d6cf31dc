"""Coats: the film, the area it covers, how much to pour, and the air it dries in."""
