"""Figures of a solved harness as documents: load, time line, equalising, endurance, tolerance."""
