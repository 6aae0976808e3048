"""Codes and SI to sentences in the units and on the clock of the yard."""
