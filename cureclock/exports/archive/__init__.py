"""A whole workshop as one file: which rows, how they are written, and what vouches for them."""
