"""The rules of the house that a reviewer should not have to look for."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.house.source_files import PACKAGE, ROOT, dotted, imports, modules, project_files, tree

# Each layer may import those before it. `tables` and `store` stand side by side.
LAYERS = (
    ("sizes",),
    ("fits",),
    ("kinds",),
    ("tables", "store"),
    ("matching",),
    ("sourcing",),
    ("acts",),
    ("faces",),
)
RANK = {name: rank for rank, names in enumerate(LAYERS) for name in names}
ROOT_MODULES = {"errors", "resources", "texts"}
SIDEWAYS = {
    ("tables", "store.engine"),  # the in-memory engine also serves reading
    ("tables", "store.number_key"),  # the searching form of a number is one everywhere
    ("tables", "store.text_array"),  # what a reading hands its numbers over in
}
LONGEST = 400


def _ids(path: Path) -> str:
    return dotted(path)


def _layer(name: str) -> str | None:
    """Return the layer of `xref.<layer>…`, None for what is not ours or a root module."""
    parts = name.split(".")
    if parts[0] != "xref" or len(parts) < 2 or parts[1] not in RANK:
        return None
    return parts[1]


@pytest.mark.parametrize("path", modules(), ids=_ids)
def test_imports_run_one_way(path: Path) -> None:
    """No module imports a layer above its own, nor the layer beside it."""
    own = _layer(dotted(path))
    if own is None:
        return  # the package's own face, `xref/__init__.py`, and the root modules
    wrong = []
    for name in imports(path):
        other = _layer(name)
        if other is None or other == own:
            continue
        below = ".".join(name.split(".")[1:3])
        if RANK[other] >= RANK[own] and (own, below) not in SIDEWAYS:
            wrong.append(name)
    assert wrong == []


@pytest.mark.parametrize("path", modules(), ids=_ids)
def test_root_modules_import_nothing_of_ours(path: Path) -> None:
    """The modules that everyone may import depend on none of the layers."""
    if path.parent == PACKAGE and path.stem in ROOT_MODULES:
        assert [name for name in imports(path) if _layer(name)] == []


@pytest.mark.parametrize("path", modules(), ids=_ids)
def test_only_the_store_knows_the_database(path: Path) -> None:
    """DuckDB is imported under xref/store and nowhere else."""
    if _layer(dotted(path)) != "store":
        assert [name for name in imports(path) if name.split(".")[0] == "duckdb"] == []


@pytest.mark.parametrize("path", modules(), ids=_ids)
def test_engineering_is_pure(path: Path) -> None:
    """Sizes, fits and kinds need no database, no data frames and no terminal."""
    if _layer(dotted(path)) in {"sizes", "fits", "kinds"}:
        names = {name.split(".")[0] for name in imports(path)}
        assert names & {"duckdb", "pandas", "typer", "rich", "starlette"} == set()


@pytest.mark.parametrize("path", modules(), ids=_ids)
def test_only_faces_print_or_exit(path: Path) -> None:
    """Outside faces/ nothing writes to the terminal or ends the process."""
    if _layer(dotted(path)) == "faces":
        return
    calls = {ast.unparse(node.func) for node in ast.walk(tree(path)) if isinstance(node, ast.Call)}
    assert calls & {"print", "sys.exit", "exit", "quit", "os._exit", "input"} == set()
    assert not re.search(r"\bsys\.std(out|err)\b", path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("path", modules(), ids=_ids)
def test_modules_stay_short(path: Path) -> None:
    """A module that outgrows 400 lines holds two ideas."""
    assert len(path.read_text(encoding="utf-8").splitlines()) <= LONGEST


def test_files_name_no_machine_and_no_registry() -> None:
    """No project file holds a path of somebody's machine or the address of a package registry."""
    # Spelled apart, so that this file passes its own test.
    patterns = [
        r"(?<![\w.-])/" + r"work/\w",
        r"(?<![\w.-])/" + r"tmp/(?!\.)\w",
        r"(?<![\w.-])/" + r"root/\w",
        r"(?<![\w.-])/" + r"home/\w",
        r"py" + r"pi\.org",
        r"pythonhosted\." + r"org",
        r"regis" + r"try\.npmjs",
        r"proxy\." + r"golang",
        r"shared/" + r"(design|reference)",
    ]
    wrong = []
    for path in project_files():
        text = path.read_text(encoding="utf-8", errors="replace")
        wrong += [
            f"{path.relative_to(ROOT)}: {match.group()}"
            for pattern in patterns
            for match in re.finditer(pattern, text)
        ]
    assert wrong == []


def test_help_is_light() -> None:
    """`xref --help` loads neither the database nor the array libraries."""
    program = (
        "import sys; sys.argv = ['xref', '--help']\n"
        "from xref.faces.cli.app import main\n"
        "status = main()\n"
        "heavy = {'duckdb', 'pandas', 'numpy', 'rapidfuzz', 'starlette'} & set(sys.modules)\n"
        "sys.stderr.write(','.join(sorted(heavy)))\n"
        "sys.exit(status)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stderr == ""
    assert "Usage: xref" in done.stdout


def test_sizes_are_light() -> None:
    """Reading one written size from Python loads neither database nor data frames."""
    program = (
        "import sys, xref\n"
        "xref.size('2-3/8in')\n"
        "print(','.join(sorted({'duckdb', 'pandas'} & set(sys.modules))))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True, cwd=ROOT
    )
    assert done.stdout.strip() == ""


def test_every_test_says_what_it_shows() -> None:
    """Every test has a docstring of one sentence of behaviour."""
    silent = []
    for path in sorted((ROOT / "tests").rglob("test_*.py")):
        silent += [
            f"{path.relative_to(ROOT)}: {node.name}"
            for node in ast.walk(tree(path))
            if isinstance(node, ast.FunctionDef)
            and node.name.startswith("test_")
            and not ast.get_docstring(node)
        ]
    assert silent == []
