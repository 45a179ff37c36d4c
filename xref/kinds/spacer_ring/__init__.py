"""Spacer ring."""
