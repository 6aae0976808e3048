"""Members for an outlook: how far the truth may lie from the forecast, and what follows it."""
