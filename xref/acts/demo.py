"""Build a store from the invented scenario in `data_demo`; building it again changes nothing."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from xref.acts.load import load
from xref.errors import Impossible
from xref.resources import folder
from xref.sourcing import suppliers, wants

if TYPE_CHECKING:
    from xref.store import Store


def scenario() -> dict[str, Any]:
    """Return the scenario: its day, machine, suppliers, lists, wants and jobs."""
    text = (files() / "scenario.json").read_text(encoding="utf-8")
    story: dict[str, Any] = json.loads(text)
    return story


def files() -> Path:
    """Return the folder of the demo's files."""
    return folder("data_demo")


def build(store: Store) -> dict[str, Any]:
    """Fill `store` with the scenario; return what was noted and loaded.

    Raises Impossible, changing nothing, for a store that holds lists of the user's own: invented
    parts must not mix with real ones.
    """
    story = scenario()
    ours = {Path(entry["file"]).stem for entry in [*story["lists"], story["later_list"]]}
    names = {entry["supplier"] for entry in story["lists"] if entry.get("supplier")}
    strangers = [e.name for e in store.editions() if e.name not in ours | names]
    if strangers:
        raise Impossible(
            f"the store in {store.folder} holds lists of your own ({strangers[0]}); the demo's "
            "invented parts would mix with them. Name another place: xref demo --store DIR",
            at=str(store.folder),
            code="store-in-use",
        )
    on = date.fromisoformat(story["on"])
    with store.writing("note the demo's suppliers"):
        known = {row["supplier"] for row in suppliers.listing(store, on)["suppliers"]}
        for entry in story["suppliers"]:
            if entry["name"] not in known:
                suppliers.add(store, **entry, on=on)
    books = [_load(store, entry) for entry in story["lists"] if entry["table"] != "stock"]
    added = _note_wants(store, story["wants"], on)
    stock = [_load(store, entry) for entry in story["lists"] if entry["table"] == "stock"]
    return {
        "title": story["title"],
        "on": on,
        "machine": story["machine"],
        "suppliers": len(story["suppliers"]),
        "lists": books + stock,
        "wants": len(story["wants"]),
        "wants_added": added,
    }


def _note_wants(store: Store, entries: list[dict[str, Any]], on: date) -> int:
    """Note the wants that are not there yet; return how many."""
    added = 0
    with store.writing("note the demo's wants"):
        there = wants.listing(store, on, everything=True)["wants"]
        known = {(want["number"], want["place"]) for want in there}
        for entry in entries:
            if (entry["number"], entry.get("place")) not in known:
                wants.add(store, _number(entry), **_want(entry), on=on)
                added += 1
    return added


def _load(store: Store, entry: dict[str, Any]) -> dict[str, Any]:
    answers = {
        name: value for name, value in entry.items() if name not in {"file", "as_of", "set_aside"}
    }
    as_of = date.fromisoformat(entry["as_of"])
    given = {"file": entry["file"], "answers": {**answers, "on": entry["as_of"]}}
    return {**given, **load(store, files() / entry["file"], on=as_of, **answers)}


def _number(entry: dict[str, Any]) -> str:
    return str(entry["number"])


def _want(entry: dict[str, Any]) -> dict[str, Any]:
    rest = {name: value for name, value in entry.items() if name not in {"number", "variant"}}
    return {**rest, "variants": [entry["variant"]] if entry.get("variant") else []}
