"""Checks of the system identity."""
