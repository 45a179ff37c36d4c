"""From which acts each sheet is made; shared by the command line and the bench page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from xref.errors import NothingFound, XrefError
from xref.faces.sheets import sheets
from xref.faces.sheets.sheets import Paper

if TYPE_CHECKING:
    from xref.store import Store


def fit(store: Store, paper: Paper, text: str, **asked: Any) -> str:
    """The fit sheet of what the box's text means; `asked` as in `xref.acts.ask_box.answer`."""
    from xref.acts.ask_box import answer

    found = answer(store, text, top=4, on=paper.on, **asked)
    if found["match"] is None or found["match"]["need"]["kind"] is None:
        question = found["asked"].get("question")
        raise NothingFound(
            question or f"nothing is known of {text!r}, so there is nothing to put on a sheet",
            at=text,
        )
    return sheets.fit(paper, found["match"], text)


def enquiry(store: Store, paper: Paper, number: int) -> str:
    """The letter of an enquiry."""
    from xref.sourcing import enquiries

    return sheets.enquiry(paper, enquiries.show(store, number))


def wanted(store: Store, paper: Paper) -> str:
    """The wanted list for the wall."""
    from xref.sourcing import suppliers, wants

    open_wants = [
        w for w in wants.listing(store, paper.on)["wants"] if w["needed"] or w["state"] != "proved"
    ]
    known = suppliers.listing(store, paper.on)["suppliers"]
    closing = [s for s in known if s["closes_on"] and not s["stopped"]]
    return sheets.wanted(paper, open_wants, closing)


def plan(store: Store, paper: Paper, **asked: Any) -> str:
    """The buying plan; `asked` as in `xref.sourcing.plan.plan`."""
    from xref.acts.want_candidates import candidates
    from xref.sourcing.plan import plan as act

    return sheets.plan(paper, act(store, paper.on, find=candidates, **asked))


def receiving(store: Store, paper: Paper, order: int) -> str:
    """The receiving sheet of an order, with the sizes of what was ordered where a list has them."""
    from xref.acts.receive import judge_so_far
    from xref.sourcing import receipts

    expected = receipts.expected(store, order, None, paper.on)
    try:
        ordered = judge_so_far(store, order, (), on=paper.on)["part"]["ordered_mm"]
    except XrefError:  # sizes that cannot be judged: the sheet is measured on all the same
        ordered = {}
    return sheets.receiving(paper, expected, ordered)


def assembly(store: Store, paper: Paper, machine: str) -> str:
    """The assembly sheet of a machine."""
    from xref.acts.teardown import show

    return sheets.assembly(paper, show(store, machine))


def shop(store: Store, paper: Paper, want: int) -> str:
    """The sketch of a wanted part for an outside shop."""
    from xref.acts.shop_sketch import sketch

    return sheets.shop(paper, sketch(store, want, paper.on))


def make(store: Store, paper: Paper, machine: str, place: str) -> str:
    """The sketch of the part that a place of a machine needs made."""
    from xref.acts.shop_sketch import sketch_of_place

    return sheets.shop(paper, sketch_of_place(store, machine, place))
