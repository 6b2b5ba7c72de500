"""A plan as typed, unchanging data, and how its text becomes one."""
