"""Checks of wheels and tires."""
