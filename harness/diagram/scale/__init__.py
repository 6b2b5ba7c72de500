"""The airframe drawn to scale, a page of its own: its frame, its signs, the page."""
