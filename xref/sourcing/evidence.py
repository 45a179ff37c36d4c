"""Evidence from the machine itself, noted against the book.

The book gives a number for a place; the part found there may bear another one, measure
otherwise, or be the form that by the book belongs to other machines. What was seen comes before
what a list says and after what has proved right; it is never taken as seen on other machines.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, Any

from xref.errors import Impossible, NeedsAnswer, NothingFound
from xref.kinds.spec import kinds, known_kind
from xref.matching.experience import experience, serial_in
from xref.matching.variants import variant
from xref.store.number_key import number_key

from . import lookup
from .wanted_part import stored

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]


def add(
    store: Store,
    number: str,
    *,
    machine: str | None = None,
    serial: str | None = None,
    place: str | None = None,
    bears: str | None = None,
    maker: str | None = None,
    form: str | None = None,
    kind: str | None = None,
    sizes: Mapping[str, str] | None = None,
    remark: str | None = None,
    on: date,
) -> Row:
    """Note what the part fitted shows where the book gives `number`.

    `bears`: the number on it (`maker`: whose); `form`: the variant it is, as lists write it
    ("before serial 412"); `sizes`: as measured on it, by `id`, `od`, `width` ...; at least one of
    the three. `machine` and `serial` say on which machine; a name that states its serial number
    will do. Raises Impossible when nothing was seen, NeedsAnswer for sizes of an unknown kind.
    """
    texts: dict[str, str | None] = {
        "number": number,
        "machine": machine,
        "serial": serial,
        "place": place,
    }
    texts |= {"bears": bears, "maker": maker, "form": form}
    for what, text in texts.items():
        lookup.printable(text, what)
    key, found_key = number_key(number), number_key(bears or "")
    if not key or (bears is not None and not found_key):
        which = "number" if not key else "bears"
        raise Impossible(
            "nothing of a number is in it; give it as it stands in the book or on the part",
            at=which,
        )
    if not (bears or form or sizes):
        raise Impossible(
            "say what the part fitted shows: the number on it (--bears), which form it is (--form "
            "'before serial 412') or its sizes (--id, --od, --width ...)",
            at="bears",
            code="nothing-seen",
        )
    serial = _plain(serial) or serial_in(machine)
    if serial is not None and not any(c.isdigit() for c in serial):
        raise Impossible(
            f"the serial number {serial!r} has no digit; give it as it stands on the plate",
            at="serial",
        )
    measured = _measured(store, number, bears, kind, sizes or {})
    notes = []
    if form and not variant(form).is_range:
        notes.append(f"no serial numbers were recognised in {form!r}; it is kept as words")
    if bears is None and not store.items_by_number(number):
        notes.append(f"no list loaded has a row for {number}; it is kept as typed")
    with store.writing("note evidence from the machine") as state:
        name = _plain(machine)
        known = state.one(
            "SELECT name FROM machines WHERE machine = ?", [lookup.supplier_key(name or "")]
        )
        evidence = state.next_id("evidence")
        state.record(
            "evidence noted",
            "evidence",
            evidence,
            {
                "number": _plain(number),
                "number_key": key,
                "machine": known["name"] if known else name,
                "serial": serial,
                "place": _plain(place),
                "kind": measured[0],
                "bears": _plain(bears),
                "bears_key": found_key or None,
                "bears_maker": _plain(maker),
                "form": _plain(form),
                "sizes": measured[1] or None,
                "remark": remark,
                "found_on": on,
            },
        )
    (said,) = [e for e in experience(store).evidence if e.record == evidence]
    return {**said.document(), "notes": notes}


def _measured(
    store: Store, number: str, bears: str | None, kind: str | None, sizes: Mapping[str, str]
) -> tuple[str | None, dict[str, Any]]:
    """Return the kind and the sizes by dimension; the kind is asked of the lists if not given."""
    from xref.matching.needs import dimension_for
    from xref.sizes import size

    if kind is not None:
        known_kind(kind)
    if not sizes:
        return kind, {}
    if kind is None:
        rows = store.items_by_number([n for n in (number, bears) if n])
        found = {row["kind"] for row in rows if row["kind"]}
        if len(found) != 1:
            raise NeedsAnswer(
                f"of what kind is the part measured for {number}? Say --kind: {', '.join(kinds())}",
                at="kind",
                code="kind-missing",
            )
        kind = str(found.pop())
    return kind, {dimension_for(kind, name): stored(size(text)) for name, text in sizes.items()}


def withdraw(store: Store, evidence: int, reason: str, on: date) -> Row:
    """Take back evidence noted by mistake; the record of it stays.

    Raises NothingFound for an unknown one, Impossible if it is withdrawn already or no reason is
    given.
    """
    reason = lookup.reason(reason, "say why it is withdrawn with --reason")
    with store.writing("withdraw evidence") as state:
        row = state.one("SELECT * FROM evidence WHERE evidence = ?", [evidence])
        if row is None:
            raise NothingFound(
                f"there is no evidence {evidence}. `xref evidence list` shows what there is.",
                at="evidence",
                code="unknown-evidence",
            )
        if row["withdrawn_on"]:
            raise Impossible(
                f"evidence {evidence} was withdrawn on {row['withdrawn_on']}", at="evidence"
            )
        values = {"withdrawn_on": on, "reason": reason}
        state.record("evidence withdrawn", "evidence", evidence, values)
    return {"evidence": evidence, "withdrawn_on": on.isoformat(), "reason": reason}


def listing(store: Store) -> Row:
    """Return the evidence that counts, in the order in which it was noted."""
    return {"evidence": [one.document() for one in experience(store).evidence]}


def _plain(text: str | None) -> str | None:
    return (" ".join(text.split()) or None) if text else None
