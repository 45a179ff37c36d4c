"""How answers leave the program: one JSON document, or lines that read well at 80 columns.

Results go to stdout; notes, questions and failures to stderr. Text from lists is
shown escaped, because a cell may hold terminal commands.
"""

from __future__ import annotations

import json
import math
import os
import re
import shutil
import sys
import textwrap
import unicodedata
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import PurePath
from typing import Any

import typer

CONTRACT = 1
# Refusals are written to stand after a file's name or alone; alone, they begin a sentence.
_OPENING_WORDS = frozenset(
    {"a", "an", "the", "there", "no", "nothing", "it", "this", "that", "which", "what", "why"}
    | {"who", "last", "enquiry", "offer", "order", "want", "give", "take", "only", "two", "one"}
)
_UNENDING = re.compile(r"\S{200,}")
# JSON has no exact decimal type in Python's writer: a decimal that a double would
# change travels as a marked string and loses its marks in the finished text.
_EXACT = re.compile(r'"\\u0000exact:([-+0-9.eE]+)\\u0000"')


def emit(
    document: Mapping[str, Any],
    as_json: bool,
    render: Callable[[dict[str, Any]], None],
    exit_status: int = 0,
) -> None:
    """Print an act's document as JSON, or rendered for people, and end with `exit_status`.

    A reader that closes the pipe early (`| head`) ends the output silently.
    """
    try:
        if as_json:
            print_json(document)
        else:
            render(dict(document))
        sys.stdout.flush()
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    if exit_status:
        raise typer.Exit(exit_status)


def print_json(document: Mapping[str, Any]) -> None:
    """Print one contract document on stdout."""
    print(to_json({"contract": CONTRACT, **document}))


def to_json(value: Any) -> str:
    """Return strict JSON: exact decimals and dates, no NaN, floats without binary dust."""
    text = json.dumps(_plain(value), ensure_ascii=False, allow_nan=False)
    return _EXACT.sub(r"\1", text)


def _plain(value: Any) -> Any:
    """Turn what acts hand over into what JSON knows."""
    if value is None or isinstance(value, str | bool | int):
        return value
    if isinstance(value, float):
        return float(f"{value:.12g}") if math.isfinite(value) else None
    if isinstance(value, Decimal):
        return _decimal(value)
    if isinstance(value, Fraction):
        return _plain(float(value))
    if isinstance(value, datetime | date):
        return value.isoformat()
    if isinstance(value, PurePath):
        return str(value)
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, set | frozenset):
        return sorted(_plain(item) for item in value)
    if hasattr(value, "tolist"):  # an array or one of its scalars
        return _plain(value.tolist())
    if isinstance(value, Iterable):
        return [_plain(item) for item in value]
    raise TypeError(f"{type(value).__name__} has no place in a JSON answer")


def _decimal(value: Decimal) -> Any:
    if not value.is_finite():
        return None
    if value == value.to_integral_value() and abs(value) < 10**15:
        return int(value)
    if Decimal(repr(float(value))) == value:
        return float(value)
    return f"\u0000exact:{value}\u0000"


def note(text: str) -> None:
    """Print a sentence for the user on stderr, wrapped."""
    print(wrapped(text), file=sys.stderr, flush=True)


def sentence(message: str) -> str:
    """Return a message as a sentence: a capital first, endless words by their beginning."""
    if message.split(maxsplit=1)[:1] and message.split(maxsplit=1)[0] in _OPENING_WORDS:
        message = message[:1].upper() + message[1:]
    return brief(message)


def brief(text: str) -> str:
    """Return text with every endless word (ten thousand typed characters) cut to its beginning."""
    return _UNENDING.sub(lambda found: f"{found[0][:60]}...", text)


def say(text: str = "") -> None:
    """Print one line of the answer on stdout, exactly as laid out, unsafe characters escaped."""
    print("\n".join(shown(line) for line in text.split("\n")))


def tell(text: str, indent: int = 0, first: str | None = None) -> None:
    """Print a paragraph of the answer, wrapped to the screen and indented.

    `first` replaces the indentation of the first line (a bullet, a rank).
    """
    print(wrapped(text, indent, first))


def shown(value: object) -> str:
    """Return text as it may safely appear in a terminal.

    Control characters and invisible formatting characters (terminal commands, reversed or
    zero-width text) appear as their escapes.
    """
    text = str(value)
    if text.isascii() and text.isprintable():
        return text
    return "".join(
        character.encode("unicode_escape").decode("ascii")
        if unicodedata.category(character) in {"Cc", "Cf", "Cs", "Zl", "Zp"}
        else character
        for character in text
    )


def width() -> int:
    """Return the columns to fill: the terminal's, 80 when there is none, at most 100."""
    return max(40, min(shutil.get_terminal_size((80, 24)).columns, 100))


def wrapped(text: str, indent: int = 0, first: str | None = None) -> str:
    """Return text wrapped to the screen's width, unsafe characters escaped."""
    margin = " " * indent
    return "\n".join(
        textwrap.fill(
            shown(line),
            width(),
            initial_indent=margin if first is None or number else first,
            subsequent_indent=margin,
            break_on_hyphens=False,
        )
        for number, line in enumerate(text.split("\n"))
    )


def table(headings: Sequence[str], rows: Iterable[Sequence[object]], right: str = "") -> None:
    """Print rows in columns that fit the screen; cells wrap, nothing is cut off.

    `right` names the headings whose column is set flush right, separated by spaces.
    """
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    flush = set(right.split())
    grid = Table(box=None, pad_edge=False, header_style="", padding=(0, 2, 0, 0))
    for heading in headings:
        grid.add_column(heading, justify="right" if heading in flush else "left", overflow="fold")
    for row in rows:
        grid.add_row(*(Text("" if cell is None else shown(cell)) for cell in row))
    console = Console(
        file=sys.stdout, width=width(), color_system=None, highlight=False, emoji=False
    )
    with console.capture() as captured:
        console.print(grid)
    print("\n".join(line.rstrip() for line in captured.get().rstrip("\n").split("\n")))


def plural(count: int, one: str, many: str | None = None) -> str:
    """Return `1 row`, `12 rows`, `12,400 rows`."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def money(price: object, currency: object) -> str:
    """Return a price with its currency, or `price unknown`."""
    if price is None:
        return "price unknown"
    amount = f"{Decimal(str(price)):.2f}"
    return f"{currency} {amount}" if currency else f"{amount} (currency unknown)"
