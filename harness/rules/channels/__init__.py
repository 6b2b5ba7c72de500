"""Rules about which channel does what."""
