"""One document of a plan a module."""
