"""Archives: a car's whole history as one bag that outlives the program; written, verified, restored."""
