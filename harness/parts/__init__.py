"""The kinds of part."""
