"""Rules about how packs are joined."""
