"""Which modern parts fit the wants: what `due`, `plan`, enquiries and a fresh list go by."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from xref.acts.bulk import originals_by_number, ranked

if TYPE_CHECKING:
    from xref.store import Store

TOP = 10


def candidates(
    store: Store, wants: Sequence[dict[str, Any]]
) -> dict[int, list[tuple[str, str, str]]]:
    """Return, per want, (maker, number, verdict) of the parts that fit it, best first.

    A want by number takes its sizes from the lists; one by sizes brings its own. A want whose
    sizes are unknown or undecided has none.
    """
    chosen = _originals(store, wants)
    if not chosen:
        return {}
    found: dict[int, list[tuple[str, str, str]]] = {}
    order = list(chosen)
    for row in ranked(store, [chosen[want] for want in order], top=TOP):
        if row["number"] is None or row["verdict"] == "does not fit":
            continue
        want = order[row["original_row"]]
        found.setdefault(want, []).append((row["maker"] or "", row["number"], row["verdict"]))
    return found


def _originals(store: Store, wants: Sequence[dict[str, Any]]) -> dict[int, dict[str, Any]]:
    """Return the wants whose sizes are known, as originals to match."""
    rows: dict[int, dict[str, Any]] = {}
    numbered = [want for want in wants if want["number"] and not want["part"]]
    forms = [(want["number"], next(iter(want["variants"] or []), None)) for want in numbered]
    known, _ = originals_by_number(store, forms)
    # A variant that no row of the number is for is one accepted besides, or a substitute.
    besides = [at for at, row in enumerate(known) if row is None and forms[at][1]]
    if besides:
        own, _ = originals_by_number(store, [(forms[at][0], None) for at in besides])
        for at, row in zip(besides, own, strict=True):
            known[at] = row
    for want, row in zip(numbered, known, strict=True):
        if row is not None:
            rows[want["want"]] = {**row, "accepts": list(want["variants"] or [])}
    for want in wants:
        if want["part"] and want["kind"]:
            sizes = {f"{name}_text": value["text"] for name, value in want["part"].items()}
            rows[want["want"]] = {"number": want["number"], "kind": want["kind"], **sizes}
    return rows
