"""Wheels and tires: the tire, its load, its place on the car. SI floats in, SI floats out."""

from service.calc.wheels import fit, load, tire

__all__ = ["fit", "load", "tire"]
