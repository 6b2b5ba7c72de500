"""What is tested on the bench and at the field, what is expected, and what was measured."""
