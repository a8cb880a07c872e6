"""Checks of the exhaust."""
