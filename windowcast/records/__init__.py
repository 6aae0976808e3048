"""Records that people keep and take elsewhere: tables of visits and reports as text."""
