"""Rows to bytes: calendar feed, CSV, printed labels and sheets."""
