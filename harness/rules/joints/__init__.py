"""Rules about where the airframe comes apart."""
