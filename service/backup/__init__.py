"""Backups of a data folder: written while it serves, several generations, checked, restored into an empty folder."""
