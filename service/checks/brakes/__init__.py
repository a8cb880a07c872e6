"""Checks of the brakes."""
