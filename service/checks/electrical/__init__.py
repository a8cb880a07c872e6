"""Checks of the system electrical."""
