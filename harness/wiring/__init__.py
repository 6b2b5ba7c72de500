"""The wiring of a plan: ports, mated pairs, links, nets, leads and their codes."""
