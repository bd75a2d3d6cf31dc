"""Promises: who will be told, when, by which channel."""
