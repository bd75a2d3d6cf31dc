"""What really happened to a batch or in a week, and what to do otherwise next time."""
