"""Class values with unit, source and status, read from CSV."""

from harness.catalogue.tables import Catalogue, CatalogueError, UnknownClass, Value, load

__all__ = ["Catalogue", "CatalogueError", "UnknownClass", "Value", "load"]
