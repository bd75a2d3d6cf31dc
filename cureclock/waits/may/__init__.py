"""May I? One answer for a piece and an act, gathered for many pieces in a few queries."""
