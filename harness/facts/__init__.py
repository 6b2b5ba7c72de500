"""What a wiring means, worked out once for a wiring and read by all."""
