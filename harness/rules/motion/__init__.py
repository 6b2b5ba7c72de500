"""Rules about which way surfaces move."""
