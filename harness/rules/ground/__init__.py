"""Rules about ground loops and missing grounds."""
