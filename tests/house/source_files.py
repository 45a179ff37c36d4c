"""The project's own files, as the tests of the house look at them."""

from __future__ import annotations

import ast
import functools
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "xref"
SKIPPED = {
    ".git", ".venv", "__pycache__", "dist", "build", ".hypothesis", ".mypy_cache", ".ruff_cache",
    ".pytest_cache", "output",
}  # fmt: skip
TEXT = {
    ".py", ".md", ".toml", ".json", ".csv", ".txt", ".html", ".css", ".js",
    ".svg", ".sh", ".yml", "",
}  # fmt: skip


def modules() -> list[Path]:
    """Every Python module of the package."""
    return sorted(path for path in PACKAGE.rglob("*.py") if "bundled" not in path.parts)


def project_files() -> list[Path]:
    """Every text file that belongs to the project."""
    return sorted(
        path
        for path in ROOT.rglob("*")
        if path.is_file()
        and not SKIPPED & set(path.relative_to(ROOT).parts)
        and not any(part.endswith(".egg-info") for part in path.parts)
        and path.suffix in TEXT
    )


@functools.cache
def tree(path: Path) -> ast.Module:
    """Return the syntax tree of a module."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=str(path))


def dotted(path: Path) -> str:
    """Return the import name of a module: `xref.sizes.grammar`."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imports(path: Path, top_level: bool = False) -> set[str]:
    """Return the absolute names a module imports, those under TYPE_CHECKING left out.

    With `top_level`, only what runs when the module itself is imported.
    """
    found: set[str] = set()
    package = dotted(path) if path.name == "__init__.py" else dotted(path).rpartition(".")[0]

    def visit(node: ast.AST) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test):
                continue
            if top_level and isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
                continue
            if isinstance(child, ast.Import):
                found.update(alias.name for alias in child.names)
            elif isinstance(child, ast.ImportFrom):
                base = child.module or ""
                if child.level:
                    above = package.split(".")
                    kept = above[: len(above) - child.level + 1]
                    base = ".".join([*kept, *([base] if base else [])])
                found.update(f"{base}.{alias.name}" for alias in child.names)
            visit(child)

    visit(tree(path))
    return found
