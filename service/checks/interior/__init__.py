"""Checks of the interior."""
