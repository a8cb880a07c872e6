"""Checks of the weights."""
