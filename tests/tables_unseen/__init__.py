"""Invented lists that the reading was not built on, and what the rules say of each."""
