"""Rules about what was tested and metered."""
