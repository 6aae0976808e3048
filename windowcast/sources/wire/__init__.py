"""Wire formats: pure parsers from bytes to hourly arrays, shared by the sources."""
