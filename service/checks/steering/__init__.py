"""Checks of the steering."""
