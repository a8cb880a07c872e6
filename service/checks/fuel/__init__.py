"""Checks of fuel."""
