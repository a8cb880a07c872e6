"""The checks: does what was fitted suit what is around it? One check per file, in a folder for each system."""
