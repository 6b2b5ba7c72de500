"""YAML with spans, and the kinds of value that may stand in it."""
