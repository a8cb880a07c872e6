"""Checks of the schedule."""
