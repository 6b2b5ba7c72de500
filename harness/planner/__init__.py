"""Proposes a whole plan for parts that are not plugged in yet: exact, with its reasons."""
