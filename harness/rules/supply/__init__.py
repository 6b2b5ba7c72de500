"""Rules about what feeds the radio."""
