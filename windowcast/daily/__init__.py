"""The run of one slot: a morning that is kept, sent, and answered for in the book."""
