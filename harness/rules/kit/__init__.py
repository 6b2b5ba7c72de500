"""Rules about what came in the box."""
