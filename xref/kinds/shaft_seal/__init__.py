"""Rotary shaft seal."""
