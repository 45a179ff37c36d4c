"""Part kinds: one folder each, declared by its `kind.json` and judged by its `judge.py`."""
