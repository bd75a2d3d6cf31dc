"""Who is told what and when: decided here by pure functions, written and sent elsewhere."""
