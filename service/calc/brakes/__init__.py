"""Brakes: hydraulics, balance between the axles, stopping, heat, parking brake. SI floats in, SI floats out."""

from service.calc.brakes import balance, heat, hydraulics, parking, stopping

__all__ = ["balance", "heat", "hydraulics", "parking", "stopping"]
