"""Any file to grids of raw cells: one difficulty in each test."""
