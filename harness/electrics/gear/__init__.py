"""The time line of a function: who moves when, what collides, what flows meanwhile."""
