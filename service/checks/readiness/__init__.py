"""Checks of the readiness."""
