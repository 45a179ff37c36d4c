"""How values read in a page, and the templates' environment: everything is escaped."""

from __future__ import annotations

import unicodedata
from datetime import date
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from xref.faces.drawings.bands import compared
from xref.faces.drawings.lengths import interval, shown
from xref.kinds.spec import spec

HERE = Path(__file__).resolve().parent
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}


@cache
def templates(folder: Path = HERE / "templates") -> jinja2.Environment:
    """Return the environment of a folder of templates."""
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader([folder, HERE / "templates"]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        finalize=harmless,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters |= {
        "size": size,
        "money": money,
        "day": day,
        "sizes": sizes,
        "title": kind_title,
        "words": plain_words,
        "percent": percent,
        "count": count,
        "pairs": lambda names: [(name, plain_words(name)) for name in names],
    }
    environment.globals |= {"interval": interval, "compared": compared}
    return environment


def harmless(value: Any) -> Any:
    """Show unseen characters (controls, reversed or zero-width text) as their escapes.

    Markup characters are escaped by the templates besides.
    """
    if value is None:
        return ""
    if isinstance(value, Markup) or not isinstance(value, str):
        return value
    if value.isprintable():
        return value
    return "".join(
        c.encode("unicode_escape").decode("ascii")
        if c not in "\n\t" and unicodedata.category(c) in _UNSEEN
        else c
        for c in value
    )


def size(mm: float | None, unit: str = "mm") -> str:
    """Return a length in the unit the user thinks in."""
    return "not known" if mm is None else shown(mm, unit)


def sizes(part: dict[str, Any], unit: str = "mm") -> str:
    """Return `60 × 80 × 8 mm` of a part's `dimensions_mm`, in the kind's order."""
    known = part.get("dimensions_mm") or {}
    order = spec(part["kind"]).written_order if part.get("kind") else ()
    values = [known[n] for n in order if known.get(n) is not None] or [
        v for v in known.values() if v is not None
    ]
    if not values:
        return ""
    return " × ".join(shown(v, unit).removesuffix(f" {unit}") for v in values) + f" {unit}"


def money(price: Any, currency: str | None = None) -> str:
    """Return a price with its currency; an unknown price says so."""
    if price is None:
        return "price not known"
    amount = f"{Decimal(str(price)):,.2f}"
    return f"{currency} {amount}" if currency else f"{amount} (currency not known)"


def day(value: str | date | None) -> str:
    """Return a day as `26 Sep 2027`; the words are English as the page is."""
    if value is None or value == "":
        return ""
    when = date.fromisoformat(value) if isinstance(value, str) else value
    return f"{when.day} {_MONTHS[when.month - 1]} {when.year}"


def kind_title(kind: str | None) -> str:
    """Return a kind's title, `part` when it is not known."""
    return spec(kind).title if kind else "Part"


def plain_words(name: str) -> str:
    """Return a field's name as words."""
    return name.replace("_", " ")


def percent(chance: float | None) -> str:
    """Return a conformance probability with two digits, never rounded up to certainty."""
    if chance is None:
        return "not known"
    if chance >= 0.995:
        return "100 %" if chance == 1 else "over 99 %"
    return "under 1 %" if 0 < chance < 0.005 else f"{chance * 100:.0f} %"


def count(number: int, one: str, many: str | None = None) -> str:
    """Return `1 piece`, `12 pieces`."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"
