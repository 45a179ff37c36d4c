"""Enquiry letters: both units, grouped, escaped, on one page."""

from __future__ import annotations

from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from xref.errors import Refused
from xref.sourcing import letter_files
from xref.sourcing.letters import Letter, Line, as_html, as_text, both_units

ON = date(2027, 9, 6)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        # 1 in = 25.4 mm exactly (international inch, 1959): 2-3/8 in is 60.325 mm.
        (60.325, 60.325, "60.325 mm (2-3/8 in)"),
        (60.33, 60.33, "60.33 mm (2-3/8 in)"),  # printed to the hundredth
        (50.8, 50.8, "50.8 mm (2 in)"),
        (127.0, 127.0, "127 mm (5 in)"),
        (25.0, 25.0, "25 mm (0.9843 in)"),
        (62.0, 62.0, "62 mm (2.4409 in)"),
        (44.795, 44.805, "44.795 to 44.805 mm (1.7636 to 1.7640 in)"),
    ],
)
def test_both_units(low: float, high: float, expected: str) -> None:
    """A size stands in millimetres and inches, as a fraction only where it is one."""
    assert both_units(low, high) == expected


def _letter(name: str = "TW 3", supplier: str = "Marlowe") -> Letter:
    return Letter(
        supplier,
        ON,
        "7",
        [
            Line(
                2,
                name,
                "Rotary shaft seal",
                [("Shaft", 60.325, 60.325, "2-3/8 in")],
                ["TW 4"],
                ["M 60"],
                ["M 61"],
            )
        ],
        date(2027, 11, 1),
    )


def test_a_letter_says_what_is_wanted() -> None:
    """Quantity, number, kind, sizes, alternatives, list numbers and the day are in the text."""
    text = as_text(_letter())
    for words in (
        "2 x TW 3",
        "Rotary shaft seal",
        "60.325 mm (2-3/8 in)",
        "also accepted: TW 4",
        "in your list as: M 60",
        "may serve: M 61",
        "2027-11-01",
        "Enquiry 7",
        "asbestos",
    ):
        assert words in text
    assert max(map(len, text.splitlines())) <= 72


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: object) -> None:
        del attrs
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=60))
def test_hostile_names_stay_text(name: str) -> None:
    """No name adds an element to the page, and each stands there as text."""
    plain, hostile = _Tags(), _Tags()
    plain.feed(as_html(_letter()))
    hostile.feed(as_html(_letter(f"<script>alert(1)</script>&{name}", f"<b>{name}")))
    assert hostile.tags == plain.tags
    assert "<script>alert(1)</script>" in hostile.text


def test_letters_are_put_into_a_folder(tmp_path: Path) -> None:
    """Each letter becomes a text and an HTML file whose name cannot leave the folder."""
    letter = {
        "enquiry": 7,
        "supplier": "../../etc/Marlowe & Sons",
        "letter": "text",
        "html": "<p>text</p>",
    }
    files = letter_files.write(tmp_path, [letter])
    assert [Path(f).name for f in files] == [
        "enquiry-7-etc-marlowe-sons.txt",
        "enquiry-7-etc-marlowe-sons.html",
    ]
    assert all(Path(f).parent == tmp_path for f in files)
    blocked = tmp_path / "file"
    blocked.write_text("", encoding="utf-8")
    with pytest.raises(Refused):
        letter_files.folder(blocked)
