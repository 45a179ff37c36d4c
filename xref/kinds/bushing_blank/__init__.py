"""Bushing blank."""
