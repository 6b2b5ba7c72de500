"""Endurance: the phases of a flight, and what is left in the packs."""
