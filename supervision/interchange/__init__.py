"""Formats: text and bytes to values and back. No database."""
