"""How values read in a page, and the templates' environment: everything is escaped."""

from __future__ import annotations

import re
import unicodedata
from datetime import date, datetime
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
from markupsafe import Markup

from xref.faces.drawings.bands import compared
from xref.faces.drawings.lengths import interval, shown
from xref.faces.web.own_words import here, label
from xref.kinds.spec import kinds, spec

HERE = Path(__file__).resolve().parent
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_ISO_DAY = re.compile(r"\b20\d\d-\d\d-\d\d\b")
_ISO_TIME = re.compile(r"\b20\d\d-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?(?:Z|[+-]\d\d:\d\d)")
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
        "dated": dated,
        "with_place": with_place,
        "here": here,
        "kind_words": lambda said: spec(said).title if said in kinds() else said,
        "before_comma": lambda words: words.partition(",")[0],
        "pairs": lambda names: [(name, plain_words(name)) for name in names],
    }
    environment.globals |= {"interval": interval, "compared": compared, "label": label}
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
    """Return `60 × 80 × 8 mm` of a part's `dimensions_mm`, in the kind's order, then the rest."""
    known = part.get("dimensions_mm") or {}
    known = {n: v for n, v in known.items() if v is not None}
    order = spec(part["kind"]).written_order if part.get("kind") else tuple(known)
    first = [known[n] for n in order if n in known]
    written = " × ".join(shown(v, unit).removesuffix(f" {unit}") for v in first)
    rest = [f"{plain_words(n)} {shown(v, unit)}" for n, v in known.items() if n not in order]
    return ", ".join([*([f"{written} {unit}"] if first else []), *rest])


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


def dated(sentence: str) -> str:
    """Return a sentence of the acts with its days written as the page writes days."""
    sentence = _ISO_TIME.sub(lambda found: _time_or_text(found[0]), sentence)
    return _ISO_DAY.sub(lambda found: _day_or_text(found[0]), sentence)


def _time_or_text(text: str) -> str:
    """Return a moment by the local clock, `19:23 on 25 Nov 2026`."""
    try:
        when = datetime.fromisoformat(text).astimezone()
    except ValueError:
        return text
    return f"{when:%H:%M} on {day(when.date())}"


def _day_or_text(text: str) -> str:
    try:
        return day(text)
    except ValueError:  # as in a part number 2027-13-45
        return text


def with_place(want: dict[str, Any]) -> str:
    """Return what a want is and where it belongs, a place that both name said once."""
    what, place = want.get("description") or kind_title(want.get("kind")), want.get("place") or ""
    parts = [p.strip() for p in place.split(",")]
    said = {p.strip().lower() for p in what.split(",")}
    return ", ".join([what, *(p for p in parts if p and p.lower() not in said)])


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
