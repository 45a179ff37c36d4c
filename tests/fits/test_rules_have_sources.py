"""Every rule a user may be shown says where it comes from, and every figure is used.

The rules are collected twice: from judged examples of every kind, with every
service condition stated, and from the source text, so that none escapes.
"""

from __future__ import annotations

import ast
import importlib
import itertools
from pathlib import Path

import numpy as np
import pytest

import xref
from xref.fits.judgement import Judgement
from xref.fits.practice import practice_rule
from xref.fits.quantity import NOMINAL, Quantity
from xref.fits.rules import BASES, COMMON_PRACTICE, FROM_MEMORY, NO_SOURCE, Rule
from xref.fits.steps import TABLES, read_rows
from xref.kinds.base import Need, Part
from xref.kinds.spec import kinds, spec
from xref.matching.judging import describe, judge_of

PACKAGE = Path(xref.__file__).parent
ROWS = 60
STANDARDS = ("ISO", "DIN", "RMA", "SAE", "ANSI", "ABMA", "JCGM", "AS568", "GOST")
BOOKS = ("Handbook", "handbook", "Shigley", "Carvill", "machine-design texts", "engineering")
NAMELESS = ("no source", "from memory")
JUDGED = [kind for kind in kinds() if kind != "other"]
SERVICE = {
    "rpm": 900.0,
    "temperature": 60.0,
    "pressure_bar": 0.2,
    "load_n": 800.0,
    "life_hours": 1000.0,
    "track_position": 4.0,
    "track_width": 1.0,
}


def examples(kind: str) -> Judgement:
    """Judge many pairs: half measured, half by name, every trait, every service condition."""
    rng = np.random.default_rng(5)
    need_kind = "plain_bushing" if kind == "bushing_blank" else kind
    base = {name: 8.0 + 12 * i for i, name in enumerate(spec(kind).dimension_names)}

    def sizes() -> dict[str, np.ndarray]:
        return {name: value + rng.choice([0, 0, 1, -1], ROWS) for name, value in base.items()}

    part = {name: Quantity.limits(v, v, how=NOMINAL) for name, v in sizes().items()}
    place = {
        one.name: Quantity.measured(
            np.where(rng.random(ROWS) < 0.5, base.get(one.from_part or "", 9.0), np.nan), 0.01
        )
        for one in spec(need_kind).places
    }
    service: dict[str, np.ndarray] = {name: np.full(ROWS, v) for name, v in SERVICE.items()}
    for name, words in {
        "medium": ("mineral oil", "water"),
        "rotating": ("inner", "outer", ""),
        "load": ("light", "normal", "heavy", ""),
        "gland": ("piston", "rod", "face"),
        "motion": ("static", "dynamic"),
        "dirt": ("yes", ""),
    }.items():
        service[name] = rng.choice(words, ROWS).astype("<U24")

    def traits(of: str) -> dict[str, np.ndarray]:
        return {
            t.name: rng.uniform(1, 40, ROWS)
            if t.is_number
            else rng.integers(-1, len(t.words), ROWS).astype(np.int8)
            for t in spec(of).traits
        }

    need = Need(need_kind, np.zeros(ROWS, dtype=np.int8), part, place, service, traits(need_kind))
    offered = Part(kind, rng.integers(0, 2, ROWS).astype(np.int8), sizes(), traits(kind))
    return judge_of(kind).judge(need, offered)


def demand_source(rule: Rule) -> None:
    """Fail unless a rule names a standard or a book, or says that it has no source."""
    assert rule.text.strip()
    assert rule.basis in BASES
    named = any(word in rule.source for word in (*STANDARDS, *BOOKS))
    assert named or any(word in rule.source for word in NAMELESS), rule
    if rule.source == NO_SOURCE:
        assert rule.basis in (COMMON_PRACTICE, FROM_MEMORY), rule


@pytest.mark.parametrize("kind", JUDGED)
def test_rules_of_judged_examples_have_a_source(kind: str) -> None:
    """Each check of each example shows its rule, source and basis, in the answer too."""
    judged = examples(kind)
    assert len(judged.checks) >= 2
    for one in judged.checks:
        for rule in one.rules:
            demand_source(rule)
    for row in range(ROWS):
        for told in describe(judged, row)["checks"]:
            assert told["rule"]
            assert told["source"]
            assert told["basis"] in BASES


def rule_calls() -> list[tuple[str, ast.Call]]:
    """Return every place in the program that makes a rule."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            called = isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
            if called and node.func.id in ("Rule", "practice_rule"):
                found.append((f"{path.relative_to(PACKAGE)}:{node.lineno}", node))
    return found


def test_every_rule_in_the_program_is_made_with_a_source() -> None:
    """No rule is made without three things to say; workshop rules name a row of the table."""
    calls = rule_calls()
    assert len(calls) > 25
    names = {row["name"] for row in read_rows("workshop_practice.csv")}
    for where, call in calls:
        if isinstance(call.func, ast.Name) and call.func.id == "Rule":
            assert len(call.args) >= 3, where
        elif isinstance(call.args[0], ast.Constant):
            assert call.args[0].value in names, where


def test_rules_kept_by_modules_have_a_source() -> None:
    """Rules that stand at the top of a module, shown or not by the examples above."""
    found: list[Rule] = []
    for path in sorted((*(PACKAGE / "fits").rglob("*.py"), *(PACKAGE / "kinds").rglob("*.py"))):
        parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
        module = importlib.import_module(".".join(p for p in parts if p != "__init__"))
        for value in vars(module).values():
            several = value.values() if isinstance(value, dict) else [value]
            for one in several:
                group = one if isinstance(one, tuple) else (one,)
                found += [rule for rule in group if isinstance(rule, Rule)]
    assert len(found) > 20
    for rule in found:
        demand_source(rule)


def test_a_rule_without_a_source_cannot_be_made() -> None:
    """An empty source or a basis of another name is refused when the rule is made."""
    for source, basis in (("", FROM_MEMORY), ("ISO 15", "hearsay")):
        with pytest.raises(ValueError, match="needs a source"):
            Rule("text", source, basis)


def test_every_workshop_figure_is_used() -> None:
    """A row of the practice table that no module reads is deleted, not kept."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py"))
    rows = read_rows("workshop_practice.csv")
    assert len({row["name"] for row in rows}) == len(rows)
    unused = [row["name"] for row in rows if f'"{row["name"]}"' not in text]
    unused = [name for name in unused if f"'{name}'" not in text]
    assert unused == []
    for row in rows:
        demand_source(practice_rule(row["name"]))


def test_every_table_is_read_and_every_row_says_where_it_is_from() -> None:
    """Source and basis (or the collected confidence) stand in each row of each table."""
    text = "\n".join(path.read_text(encoding="utf-8") for path in PACKAGE.rglob("*.py"))
    for path in sorted(TABLES.glob("*.csv")):
        assert path.name in text, f"{path.name} is read by no module"
        for number, row in enumerate(read_rows(path.name), start=2):
            columns = list(row)
            sources = [c for c in columns if c == "source" or c.endswith("_source")]
            grounds = [c for c in columns if c in ("basis", "confidence") or c.endswith("_basis")]
            assert sources, path.name
            assert grounds, path.name
            for name in itertools.chain(sources, grounds):
                assert row[name].strip(), f"{path.name} row {number}: {name}"
