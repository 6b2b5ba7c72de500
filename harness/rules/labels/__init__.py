"""Rules about label codes."""
