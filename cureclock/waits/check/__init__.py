"""Before the glue or the coat: go, go with care, or not now, each reason with its sum."""
