"""Checks of the system fasteners."""
