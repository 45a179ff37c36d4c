"""Readers of single cells, one module per idea; each is run once per distinct text."""
