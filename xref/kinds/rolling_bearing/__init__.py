"""Rolling bearing."""
