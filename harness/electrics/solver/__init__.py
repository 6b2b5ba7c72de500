"""Direct-current networks: their elements, and the solution. Knows no plan."""
