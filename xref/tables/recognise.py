"""Which table a file is, by what its headings name; a doubt is a question, never a guess."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from xref.tables.names import CLOSE, EXACT, LESSER, Meaning, meanings
from xref.tables.schema import TABLES
from xref.tables.text import fold

_SUPPLIER_ONLY = frozenset(
    {"closes", "last_order", "reply_days", "postage", "carries", "email", "telephone", "address"}
)
_WANTED_WORDS = ("wanted", "required", "needed", "gesucht", "benotigt", "bedarf", "recherche",
                 "gezocht", "gevraagd", "benodigd", "cercat", "buscad", "procurad", "poszukiw",
                 "hledan", "efterlyst", "sokes")  # fmt: skip
_STOCK_ONLY = frozenset({"price", "condition", "price_per"})
_ORIGINALS_WORDS = ("original", "obsolete", "old part", "old number", "parts book", "alte ")


def _filled(_index: int) -> bool:
    return False


def recognise(
    headings: Sequence[str], lacks: Callable[[int], bool] = _filled
) -> tuple[str | None, str | None]:
    """Return (table, None), or (None, the question to ask); (None, None) if nothing is known.

    `lacks` tells whether some rows have nothing in a column.
    """
    named = {table: _fields(headings, table) for table in TABLES}
    every = set().union(*named.values())
    sizes = any(_is_size(heading) for heading in headings)
    folded = [fold(heading) for heading in headings]
    part = "number" in every or "description" in every or sizes
    if (
        "name" in named["suppliers"]
        and named["suppliers"] & _SUPPLIER_ONLY
        and ("number" not in named["suppliers"] and not _has_number(headings))
    ):
        return "suppliers", None
    if not part:
        return None, None
    if "replacements" in named["interchange"] and _old_numbers(named, sizes=sizes):
        return "interchange", None
    if named["wanted"] & {"priority", "by"} or any(
        word in heading for heading in folded for word in _WANTED_WORDS
    ):
        return "wanted", None
    if named["stock"] & _STOCK_ONLY:
        return "stock", None
    replaced = "replacements" in named["interchange"]
    quantity = "quantity" in named["stock"]
    assembly = "assembly" in named["originals"]
    if assembly and (sizes or quantity or replaced):
        return "originals", None
    if replaced and not sizes and "number" in named["interchange"]:
        return _interchange(headings, named["stock"], lacks, quantity=quantity)
    if quantity:
        return "stock", None
    if replaced or any(word in heading for heading in folded for word in _ORIGINALS_WORDS):
        return "originals", None
    if sizes and "maker" in every:
        return "catalogue", None
    if sizes:
        return None, _ask("catalogue", "of modern parts", "originals", "of obsolete parts")
    if "location" in named["stock"]:
        return "stock", None
    return None, _ask("stock", "a supplier's stock list", "wanted", "a list of wanted parts")


def _old_numbers(named: Mapping[str, set[str]], *, sizes: bool) -> bool:
    """Whether the number is headed as only an interchange list does: `Old number`."""
    stock = named["stock"]
    return (
        "number" in named["interchange"]
        and not sizes
        and not stock & {"number", "price", "condition", "location", "description"}
        and "assembly" not in named["originals"]
    )


def _interchange(
    headings: Sequence[str],
    stock: set[str],
    lacks: Callable[[int], bool],
    *,
    quantity: bool,
) -> tuple[str | None, str | None]:
    """Tell a stock list that names replacements from an interchange list.

    A quantity is of the number before it, so `Part no, Qty, Superseded by` is stock, and so is a
    list some of whose rows name no other number. Behind the other number `Qty` may be how many of
    that it takes; `Old no` heads nothing but an interchange list.
    """
    if stock & {"location", "assembly"}:
        return ("stock", None) if quantity else ("originals", None)
    if not quantity:
        return "interchange", None
    if "number" not in stock and not any("number" in _lesser(h) for h in headings):
        return "interchange", None
    others = _columns(headings, "interchange", "replacements")
    counts = _columns(headings, "stock", "quantity")
    needed = _columns(headings, "interchange", "relation_quantity")
    if any(index not in needed for index in counts):
        return "stock", None  # `In stock`, `On hand`
    if min(counts) < min(others) or all(lacks(index) for index in others):
        return "stock", None
    return None, _ask("stock", "a supplier's stock list", "interchange", "an interchange list")


def _columns(headings: Sequence[str], table: str, name: str) -> list[int]:
    """Return the columns whose heading names a field of `table`."""
    return [index for index, heading in enumerate(headings) if name in _fields([heading], table)]


def _lesser(heading: str) -> set[str]:
    return {meaning.target.name for meaning in meanings(heading, "stock")} if heading else set()


def _ask(first: str, what: str, second: str, other: str) -> str:
    return (
        f"what kind of table is this: {first} ({what}) or {second} ({other})? Answer with "
        f"--table {first} or --table {second}"
    )


def _fields(headings: Sequence[str], table: str) -> set[str]:
    """Return the fields of `table` that the headings name, each heading counted once."""
    found = set()
    for heading in headings:
        best = _best(meanings(heading, table)) if heading else None
        if best is not None:
            found.add(best.target.name)
    return found


def _best(found: tuple[Meaning, ...]) -> Meaning | None:
    if not found or found[0].target.role != "field":
        return None
    return (
        found[0]
        if found[0].score in (EXACT, CLOSE)
        else (
            found[0]
            if found[0].score == LESSER and found[0].target.name in ("number", "description")
            else None
        )
    )


def _has_number(headings: Sequence[str]) -> bool:
    return "number" in _fields(headings, "stock")


def _is_size(heading: str) -> bool:
    found = meanings(heading, "stock") if heading else ()
    return bool(found) and found[0].target.role in ("size", "dimension")
