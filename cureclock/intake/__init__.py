"""Bytes to happenings: logger files, messages from sensors, backup archives."""
