"""The wanted list by what is to be done next: each want once, under its most urgent step."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from xref.acts.want_candidates import candidates
from xref.sourcing import due as sourcing
from xref.sourcing import wants

if TYPE_CHECKING:
    from xref.store import Store

Row = dict[str, Any]
# The steps in the order in which they stand; the first five are the acts that `due` names.
STEPS = ("order", "decide", "test", "chase", "ask", "answer", "parts", "fit", "search")
_BY_STATE = {"asked": "answer", "offered": "decide", "ordered": "parts", "received": "fit"}


def next_steps(store: Store, on: date) -> Row:
    """Return the open wants by next step: `steps` of `step` and `wants`, soonest first.

    Each want carries `action`, what is due for it first (or None). A want without anything due
    waits for what its state says: an `answer`, the `parts`, to be fitted and proved (`fit`), or a
    `search` for somebody who may have it. `ended` counts what is proved or closed.
    """
    todo = sourcing.due(store, on, find=candidates)["actions"]
    first: dict[int, Row] = {}
    for action in todo:
        first.setdefault(action["want"], action)
    everything = wants.listing(store, on, everything=True)["wants"]
    ended = [w for w in everything if w["state"] in (*wants.ENDS, "proved")]
    steps: dict[str, list[Row]] = {step: [] for step in STEPS}
    for want in everything:
        if want in ended:
            continue
        action = first.get(want["want"])
        waits = "search" if want["proved"] and want["needed"] else _BY_STATE.get(want["state"])
        step = action["do"] if action else waits or "search"
        steps[step].append({**want, "action": action})
    for listed in steps.values():
        listed.sort(key=_soonest)
    return {
        "steps": [{"step": step, "wants": listed} for step, listed in steps.items() if listed],
        "ended": ended,
    }


def _soonest(want: Row) -> tuple[str, int, int]:
    action = want["action"]
    by = (action["by"] if action else None) or want["by"] or "9999"
    return by, want["priority"] or 2, want["want"]
