"""Shaft repair sleeve."""
