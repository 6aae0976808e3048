"""The book: what was seen, done, forecast and told. ``open_book`` in ``book`` opens it."""
