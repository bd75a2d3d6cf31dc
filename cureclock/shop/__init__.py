"""Facts: what is and what happened."""
