"""Bracket files: declared measurements, reading, messages, starter files."""
