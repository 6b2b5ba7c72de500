"""How the aeroplane goes together: routes and lengths of leads, the kit, the order of work."""
