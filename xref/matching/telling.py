"""Where a match comes from, in words and as JSON: rows, statements, and chains of them."""

from __future__ import annotations

from typing import Any

from xref.matching.graph import Graph, Route
from xref.matching.lists import Item
from xref.store.statements import Statement, place_in_words


def mentioned(key: str, graph: Graph) -> list[Item]:
    """Return, for a number in no row of its own, the statement that names it as a row."""
    for statement in graph.about(key):
        if key in statement.to_keys:
            number, maker = statement.to[statement.to_keys.index(key)], statement.to_maker
        else:
            number, maker = statement.number, statement.maker
        return [{**bare(number, maker, statement), "says": statement.sentence()}]
    return []


def bare(number: str, maker: str | None, statement: Statement) -> Item:
    """Return a number in no row of its own as a row, standing where the statement stands."""
    return {
        "number": number,
        "maker": maker,
        "table": statement.table,
        "list": statement.list,
        "at": statement.row,
        "source": statement.source,
    }


def did_not_fit(statement: Statement) -> str:
    """Return what to say of a part that was tried: when, and why it did not fit."""
    why = f": {statement.note}" if statement.note else ""
    return f"you tried it: did not fit, {statement.list or 'day not noted'}{why}"


def path_of(route: Route) -> list[dict[str, Any]]:
    """Return a route as the JSON of a match's `path`: one object a step, with its sources."""
    return [
        {
            "from": step.written(step.key),
            "relation": _relation(step.first),
            "to": step.to_number,
            "quantity": step.quantity,
            "together_with": [step.written(key) for key in step.together],
            "together_quantities": list(step.together_quantities),
            "variant": step.first.variant,
            "source": "; ".join(dict.fromkeys(s.source for s in step.statements)),
        }
        for step in route.steps
    ]


def said(statement: Statement) -> dict[str, Any]:
    """Return one statement as a step of a path."""
    return {
        "from": statement.number,
        "relation": _relation(statement),
        "to": statement.to[0],
        "quantity": statement.pieces_of(statement.to_keys[0]),
        "together_with": list(statement.to[1:]),
        "together_quantities": [statement.pieces_of(key) for key in statement.to_keys[1:]],
        "variant": statement.variant,
        "source": statement.source,
    }


def _relation(statement: Statement) -> str:
    if statement.is_proof:
        return "proved" if statement.holds else "did not fit"
    return "found fitted" if statement.is_found else statement.relation


def source_of(item: Item) -> str:
    """Return where a row stands, in words."""
    if item.get("source"):
        return str(item["source"])
    where = item.get("list") or f"{item.get('table')} list"
    return f"{where}, {place_in_words(item['at'])}" if item.get("at") is not None else str(where)
