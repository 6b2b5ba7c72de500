"""Rules about doors, legs and sequencers."""
