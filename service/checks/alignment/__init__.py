"""Checks of the wheel alignment."""
