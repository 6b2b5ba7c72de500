"""Rules about the order of work."""
