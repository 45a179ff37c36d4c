"""What the user's own machines have shown: proofs, parts tried that did not fit, evidence.

A proof that worked is the strongest word, evidence from the machine comes before every list, and
of one original and one part the word that came last holds. Nothing is ever taken away: what was
overruled stays in the records and is left out here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from xref.matching.chains import Evidence
from xref.matching.variants import machine, variant
from xref.store.edition import folded
from xref.store.number_key import number_key
from xref.store.statements import FOUND, PROOFS, Statement

if TYPE_CHECKING:
    from xref.store import Store
    from xref.store.noted import Noted

Row = Mapping[str, Any]
_SERIAL = re.compile(r"\bserial\s*(?:no\.?|number)?\s*[:#]?\s*([\w/-]*\d[\w/-]*)", re.IGNORECASE)


@dataclass(frozen=True)
class Experience:
    """The user's own word: `statements` for the graph, `evidence` for serial breaks and sizes.

    `by_want` holds what did not fit for a want that has sizes and no number, by want and number key
    of the part: it speaks of that want alone, since nothing else names its place.
    """

    statements: tuple[Statement, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    by_want: Mapping[int, Mapping[str, Statement]] = field(default_factory=dict)

    def tried(self, key: str) -> dict[str, Statement]:
        """Return what was tried for a number and did not fit, by number key of the part."""
        return self._trials.get(key, {})

    @cached_property
    def _trials(self) -> dict[str, dict[str, Statement]]:
        found: dict[str, dict[str, Statement]] = {}
        for said in self.statements:
            if not said.holds:
                found.setdefault(said.key, {})[said.to_keys[0]] = said
        return found

    def tried_for(self, number: str | None, want: int | None) -> Mapping[str, Statement]:
        """Return what did not fit in place of a want's number; of a want without one, for it."""
        key = number_key(number or "")
        return self.tried(key) if key or want is None else self.by_want.get(want, {})

    def in_vain(self, want: Row, part: str | None, maker: str | None) -> Statement | None:
        """Return the trial in which a part did not fit for a want (`want`, `number`), or None."""
        return trial_of(self.tried_for(want["number"], want["want"]), number_key(part or ""), maker)

    def about(self, keys: Sequence[str]) -> list[Evidence]:
        """Return the evidence on any of these numbers, as the book's or as found on a part."""
        wanted = {key for key in keys if key}
        return [e for e in self.evidence if wanted & {e.book_key, e.key}]


def trial_of(tried: Mapping[str, Statement], key: str, maker: str | None) -> Statement | None:
    """Return the trial of the part with this number key, or None.

    Where the maker of one of the two is not named, they may be one.
    """
    found = tried.get(key)
    if found is None or (maker and found.to_maker and folded(maker) != folded(found.to_maker)):
        return None
    return found


_last: tuple[Noted, Experience] | None = None  # one look-up asks for it several times


def experience(store: Store) -> Experience:
    """Return what the user has recorded of the machines themselves, as the state has it now."""
    global _last
    noted, before = store.noted(), _last
    if before is not None and before[0] is noted:
        return before[1]
    evidence = [row for row in noted.rows("evidence") if row["withdrawn_on"] is None]
    found = from_rows(noted.rows("proofs"), noted.rows("misfits"), evidence)
    _last = noted, found
    return found


def from_rows(proofs: Sequence[Row], misfits: Sequence[Row], evidence: Sequence[Row]) -> Experience:
    """Return the experience in these rows of the current tables."""
    last_proof = {_pair(row): row["proof"] for row in proofs}
    last_misfit = {_pair(row): row for row in misfits}
    failed = {
        pair
        for pair, row in last_misfit.items()
        if last_proof.get(pair, 0) <= (row["proofs_before"] or 0)
    }
    said = [_proof(row) for row in proofs if _named(row) and _pair(row) not in failed]
    said += [_misfit(row) for pair, row in last_misfit.items() if _named(row) and pair in failed]
    found = [_evidence(row) for row in evidence]
    said += [_found(row, one) for row, one in zip(evidence, found, strict=True) if row["bears"]]
    by_want: dict[int, dict[str, Statement]] = {}
    for (_, part), row in last_misfit.items():
        if not row["number"] and part and _pair(row) in failed:
            by_want.setdefault(row["want"], {})[part] = _misfit(row)
    return Experience(tuple(said), tuple(found), by_want)


def _pair(row: Row) -> tuple[str | int, str]:
    """Return what was tried where: an original's number, or the want where it has none."""
    return number_key(row["number"] or "") or row["want"], number_key(row["by_number"] or "")


def _named(row: Row) -> bool:
    return bool(row["number"] and row["by_number"])


def _proof(row: Row) -> Statement:
    return Statement(
        row["number"],
        (row["by_number"],),
        to_maker=row["by_maker"],
        list=str(row["proved_on"] or ""),
        table=PROOFS,
        row=row["proof"],
        note=row["remark"],
    )


def _misfit(row: Row) -> Statement:
    return Statement(
        row["number"] or f"want {row['want']}",
        (row["by_number"],),
        to_maker=row["by_maker"],
        list=str(row["tried_on"] or ""),
        table=PROOFS,
        row=row["misfit"],
        note="; ".join(filter(None, (row["reason"], row["remark"]))) or None,
        holds=False,
    )


def serial_in(name: str | None) -> str | None:
    """Return the serial number a machine's name states ("Ostrel No. 3, serial 468"), or None."""
    found = _SERIAL.search(name or "")
    return found[1] if found else None


def _evidence(row: Row) -> Evidence:
    serial = row["serial"] or serial_in(row["machine"])
    name = row["machine"] or "the machine"
    if serial and serial not in name:
        name += f" (serial {serial})"
    return Evidence(
        row["bears"] or "",
        machine(serial) if serial else None,
        row["remark"] or "",
        instead_of=row["number"],
        form=variant(row["form"]) if row["form"] else None,
        sizes=row["sizes"] or {},
        kind=row["kind"],
        where=", ".join(filter(None, (name, row["place"]))),
        named=row["machine"] or "",
        on=str(row["found_on"] or ""),
        record=row["evidence"],
    )


def _found(row: Row, found: Evidence) -> Statement:
    return Statement(
        row["number"],
        (row["bears"],),
        to_maker=row["bears_maker"],
        variant=found.machine.text if found.machine else None,
        list=", ".join(filter(None, (found.where, found.on))),
        table=FOUND,
        row=row["evidence"],
        note=row["remark"],
    )
