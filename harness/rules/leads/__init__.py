"""Rules about leads and plugs."""
