"""Rules about turned, crossed and swapped."""
