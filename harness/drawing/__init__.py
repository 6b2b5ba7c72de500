"""The drawing engine: knows no plan."""
