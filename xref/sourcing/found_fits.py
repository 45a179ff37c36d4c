"""The parts found to fit the wants, remembered until a list or a want changes."""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import secrets
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from xref import __version__
from xref.matching.experience import experience
from xref.store.number_key import number_key

from .supply import Candidates

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]
# The act of matching, handed in by the face because acts stand above sourcing.
FindCandidates = Callable[["Store", Sequence[Row]], Candidates]


def remembered(
    store: Store, wants: Sequence[Row], find: FindCandidates | None
) -> Candidates | None:
    """Return what `find` finds to fit the wants, remembered until a list or a want changes.

    Matching thousands of wants takes seconds, and `due` is asked often. What is remembered lies
    beside the lists, is only ever derived from them, and may be deleted at any time.
    """
    if find is None or not wants:
        return None
    if not any(e.table in ("catalogue", "stock") for e in store.editions()):
        return {}
    current = store.folder / "lists" / "current.json"
    known_now = current.read_bytes() if current.exists() else b""
    known_now += repr(experience(store)).encode()  # what was tried or found on a machine counts
    lists = hashlib.sha256(known_now).hexdigest()
    path = store.folder / "derived" / "candidates.json"
    known: dict[str, list[tuple[str | None, str, str]]] = {}
    try:
        document = json.loads(path.read_text(encoding="utf-8"))
        if document["lists"] == lists and document["version"] == __version__:
            known = document["candidates"]
    except (OSError, ValueError, KeyError, TypeError):
        known = {}
    keys = {w["want"]: _fingerprint(w) for w in wants}
    missing = [w for w in wants if keys[w["want"]] not in known]
    if missing:
        fresh = find(store, _worth_matching(store, missing))
        known = known | {keys[w["want"]]: list(fresh.get(w["want"], ())) for w in missing}
        document = {"lists": lists, "version": __version__, "candidates": known}
        with contextlib.suppress(OSError):  # a folder that cannot be written only costs time
            path.parent.mkdir(mode=0o700, exist_ok=True)
            beside = path.with_suffix(f".{os.getpid()}.{secrets.token_hex(4)}")
            beside.write_text(json.dumps(document), encoding="utf-8")
            beside.replace(path)
    return {want: [(m, n, v) for m, n, v in known[key]] for want, key in keys.items()}


def _worth_matching(store: Store, wants: Sequence[Row]) -> list[Row]:
    """Return the wants of which some list, a proof or a standard designation tells sizes.

    Looking up one number nobody knows costs as much as a known one; all are asked in one go.
    """
    from xref.kinds.designation import decode

    numbers = [w["number"] for w in wants if w["number"] and not w["part"]]
    told = [*store.items_by_number(numbers), *store.items_by_number(numbers, mentioned=True)]
    keys = {item["number_key"] for item in told}
    for item in told:
        keys.update(map(number_key, item["replacements"] or ()))
        keys.update(map(number_key, item["supersedes"] or ()))
    with store.reading() as state:
        sql = "SELECT number_key FROM proofs UNION SELECT number_key FROM evidence"
        keys |= {r["number_key"] for r in state.rows(sql)}
    return [
        w
        for w in wants
        if w["part"] or w["number_key"] in keys or (w["number"] and decode(w["number"]))
    ]


def _fingerprint(want: Row) -> str:
    text = json.dumps([want["number"], want["kind"], want["part"], want["variants"]])
    return hashlib.sha256(text.encode()).hexdigest()[:32]
