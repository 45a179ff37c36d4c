"""Plain bushing."""
