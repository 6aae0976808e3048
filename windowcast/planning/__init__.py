"""From scores to an order of days, and what must be said aloud."""
