"""O-ring."""
