"""Checks of the records."""
