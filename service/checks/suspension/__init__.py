"""Checks of the suspension."""
