"""From a judged part to a decision, and what is still to be tried before it counts as proved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

# What a part of each kind must still show once it is in: common practice, no source.
TESTS = {
    "shaft_seal": ("leak",),
    "o_ring": ("leak",),
    "rolling_bearing": ("run-in",),
    "plain_bushing": ("run-in",),
    "thrust_washer": ("end float",),
    "shaft_sleeve": ("run-out",),
}
OTHER_TESTS = ("function",)
DECISIONS = ("accept", "rework", "return")


def tests_for(kind: str | None, *, repaired: bool, unchecked: Sequence[str] = ()) -> list[str]:
    """Return the tests open after goods in: of the kind, of repairs, of what was not measured."""
    tests = [f"measure {name}" for name in unchecked]
    tests += TESTS.get(kind or "", OTHER_TESTS)
    return [*tests, "repairs"] if repaired else tests


def decision_of(judged: Mapping[str, Any]) -> str | None:
    """Return accept, rework or return for a judged part, or None when it must be measured again.

    Fits as it is: accept. Fits with work on part or machine: rework. Does not fit: return. A
    doubtful check decides nothing: a better measurement does.
    """
    if judged["verdict"] == "does not fit":
        return "return"
    if any(check["result"] == "doubtful" for check in judged["checks"]):
        return None
    return "accept" if judged["verdict"] == "as is" else "rework"


def unchecked(judged: Mapping[str, Any]) -> list[str]:
    """Return the names of the checks that lacked a measurement."""
    return [c["name"] for c in judged["checks"] if c["result"] == "not checked"]


def doubtful(judged: Mapping[str, Any]) -> list[str]:
    """Return the names of the checks that need a better measurement."""
    return [c["name"] for c in judged["checks"] if c["result"] == "doubtful"]
