"""How a book of each version becomes one of the next; Alembic runs them when a book is opened."""
