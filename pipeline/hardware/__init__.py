"""Standard parts by their numbers, and units: what was said of a size, exactly."""
