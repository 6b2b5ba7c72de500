"""The electrics of a harness: its network, its operating cases, the solution and what follows."""
