"""Colonies: what counts of mites say, and what a treatment did."""
