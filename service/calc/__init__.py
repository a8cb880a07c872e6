"""Formulas: pure functions, SI floats in, SI floats out; each cites its source."""
