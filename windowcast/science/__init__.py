"""Equations and rules, one subject a module: free functions on arrays whose last axis is time."""
