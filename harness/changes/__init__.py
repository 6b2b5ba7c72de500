"""What changed between two plans, in the words of a builder."""
