"""One file for each version of the book: ``v0001_...``, never changed once it was released."""
