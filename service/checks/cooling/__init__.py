"""Checks of cooling."""
