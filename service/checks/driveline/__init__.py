"""Checks of the driveline."""
