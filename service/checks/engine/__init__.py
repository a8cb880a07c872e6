"""Checks of the engine."""
