"""Copper wires by size, with what is published of their ohms."""

from catalog.wires.conductors import Conductor, awg, conductor, metric

__all__ = ["Conductor", "awg", "conductor", "metric"]
