"""The examples in the docstrings of the engineering are run, and each public function has one."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path
from types import ModuleType

import pytest

import xref

PACKAGE = Path(xref.__file__).parent
MODULES = [
    ".".join(path.relative_to(PACKAGE.parent).with_suffix("").parts)
    for folder in ("fits", "kinds", "sizes")
    for path in sorted((PACKAGE / folder).rglob("*.py"))
    if ">>>" in path.read_text(encoding="utf-8")
]


def loaded(name: str) -> ModuleType:
    """Import a module by its full name."""
    return importlib.import_module(name.removesuffix(".__init__"))


@pytest.mark.parametrize("name", MODULES)
def test_examples_give_what_they_show(name: str) -> None:
    """Every example of the module runs and prints what stands beside it."""
    outcome = doctest.testmod(loaded(name))
    assert outcome.attempted > 0
    assert outcome.failed == 0


@pytest.mark.parametrize("name", xref.fits.__all__)
def test_public_functions_show_an_example_and_their_units(name: str) -> None:
    """Each function of `xref.fits` has an example and says the unit of what it takes and gives."""
    text = getattr(xref.fits, name).__doc__ or ""
    assert ">>>" in text
    assert "[mm]" in text
