"""Thrust washer."""
