"""The words: frozen dataclasses, built valid or not at all."""
