"""Ways to show a morning."""
