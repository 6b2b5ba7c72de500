"""Rules about currents against what things bear."""
