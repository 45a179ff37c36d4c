"""Other part."""
