"""A match for people: verdict, reasons, work, offers, near misses, and the bands drawn."""

from __future__ import annotations

import shlex
from typing import Any

from xref.faces.cli import bands
from xref.faces.cli.output import brief, money, plural, say, tell
from xref.faces.cli.sizes_text import MM_PER_INCH, in_inches, in_mm

BANDS_DRAWN = 1  # candidates whose bands are drawn; the others say their checks in one line each


def render(document: dict[str, Any]) -> None:
    """Print the document of `xref match`."""
    _need(document["need"])
    candidates = document["candidates"]
    if not candidates:
        say()
        if document["need"]["kind"] is None:
            _not_known(document.get("nearest") or [])
        else:
            say("Nothing in the lists fits.")
    for order, candidate in enumerate(candidates):
        say()
        _candidate(candidate, drawn=order < BANDS_DRAWN)
    misses = document["near_misses"]
    if misses:
        say()
        say("Near misses, nearest first")
        for miss in misses:
            _near_miss(miss)
    if document["cautions"]:
        say()
        say("Cautions")
        for caution in document["cautions"]:
            tell(caution, indent=4, first="  - ")


def _need(need: dict[str, Any]) -> None:
    """Print what was looked for, and from what it was derived."""
    number = need.get("number")
    say(f"Looking for: {need.get('kind') or 'part'}" + (f" {brief(number)}" if number else ""))
    for title, sizes in (("part", need.get("part_mm")), ("place", need.get("place_mm"))):
        for name, value in (sizes or {}).items():
            origin = (need.get("from") or {}).get(name)
            limits = (need.get("part_limits_mm") or {}).get(name) if title == "part" else None
            tell(
                f"{title} {_words(name)} {in_both(value)}"
                + (f", limits {in_both(limits)}" if limits else "")
                + (f" ({origin})" if origin else ""),
                indent=4,
                first="  ",
            )
    for assumption in need.get("assumed") or []:
        tell(f"assumed: {assumption}", indent=4, first="  ")
    for line in need.get("notes") or []:
        tell(brief(str(line)), indent=4, first="  ")


def _not_known(nearest: list[dict[str, Any]]) -> None:
    """Say what to do about a number that stands in no list."""
    if nearest:
        near = shlex.quote(str(nearest[0]["number"]))
        tell(f"If it is the nearest one: xref match {near}. Nothing was matched in its place.")
    tell("With the sizes at hand: xref match --kind KIND --id SIZE --od SIZE, or as measured.")


def _candidate(candidate: dict[str, Any], drawn: bool) -> None:
    tell(standing(candidate), indent=4, first=f"{candidate['rank']:>2}  ")
    for part in candidate["parts"]:
        tell(part_line(part), indent=8, first="    ")
    for work in candidate["work"]:
        tell(f"work: {work if isinstance(work, str) else work['text']}", indent=10, first="    ")
    for part in candidate["parts"][1:]:
        for work in part["work"]:
            tell(f"work on the {part['role']}: {work}", indent=10, first="    ")
    for check in candidate["checks"]:
        render_check(check, drawn)
    for part in candidate["parts"][1:]:
        for check in part["checks"]:
            render_check({**check, "name": f"{part['role']}, {check['name']}"}, drawn=False)
    for warning in candidate.get("warnings") or []:
        tell(f"note: {warning}", indent=10, first="    ")
    for support in candidate.get("supported_by") or []:
        tell(f"supported by: {support}", indent=10, first="    ")
    for offer in candidate.get("offers") or []:
        tell(offer_line(offer), indent=10, first="    ")


def standing(judged: dict[str, Any]) -> str:
    """Return verdict, certainty and conformance, the last with what it does not say."""
    said = f"{judged['verdict'].upper()} - {judged['certainty']}"
    chance = judged.get("conformance")
    if judged["certainty"] == "assumed":
        said += ", not measured"
        if chance is not None:
            said += f"; conformance {chance:.2f} only if the machine has its nominal sizes"
    elif judged["certainty"] == "measure first":
        if chance is not None:
            said += f"; conformance {chance:.2f} by what could be checked"
    elif chance is not None:
        said += f", conformance {chance:.2f}"
    return said


def part_line(part: dict[str, Any]) -> str:
    """Return `seal: Maker NUMBER, shaft_seal 60 x 80 x 8 mm (list)`."""
    sizes = in_mm(part.get("dimensions_mm") or {}, part.get("kind"))
    name = " ".join(str(word) for word in (part.get("maker"), part.get("number")) if word)
    role = part.get("role") or "part"
    source = f" ({part['list']})" if part.get("list") else ""
    return f"{role}: {name}, {sizes} mm{source}" if sizes else f"{role}: {name}{source}"


def offer_line(offer: dict[str, Any]) -> str:
    """Return who has it, how many, at what price, and when they close."""
    quantity = offer.get("quantity")
    count = "quantity unknown" if quantity is None else plural(quantity, "piece")
    if offer.get("or_more"):
        count += " or more"
    text = (
        f"offer: {offer['supplier']}, {count}, {money(offer.get('price'), offer.get('currency'))}"
    )
    if offer.get("as_of"):
        text += f", as of {offer['as_of']}"
    if offer.get("closes_on"):
        text += f"; CLOSES {offer['closes_on']}"
    return text


def render_check(check: dict[str, Any], drawn: bool) -> None:
    """Print one check: result, rule and source, and its band or its limits."""
    permitted, actual = _interval(check, "permitted"), _interval(check, "actual")
    source = ", ".join(str(word) for word in (check.get("rule"), check.get("source")) if word)
    if check.get("basis") and check["basis"] != "standard":
        source += f" [{check['basis']}]"
    picture = bands.pair(permitted, actual) if drawn else None
    if check["result"] == "not checked":
        missing = check.get("missing") or check.get("note") or source
        tell(f"{check['name']}: not checked; {missing}", indent=10, first="    ")
        return
    if picture is None:
        tell(
            f"{check['name']}: {check['result']}; {_span(actual)}, permitted {_span(permitted)}; "
            f"{source}",
            indent=10,
            first="    ",
        )
        return
    tell(f"{check['name']}: {check['result']}; {source}", indent=10, first="    ")
    say(f"      permitted {_span(permitted):>16}  |{picture[0]}|")
    say(f"      actual    {_span(actual):>16}  |{picture[1]}|")


def _near_miss(miss: dict[str, Any]) -> None:
    tell("; ".join(part_line(part) for part in miss["parts"]), indent=6, first="  - ")
    for part in miss["parts"]:
        inches = in_inches(part.get("dimensions_mm") or {}, part.get("kind"))
        if inches:
            say(f"      {inches} in")
    for said in filter(None, ((miss.get("tried") or {}).get("says"), miss.get("for_others"))):
        tell(said, indent=8, first="      ")
    for check in miss["checks"]:
        if check["basis"] in {"own trial", "as listed"}:
            continue
        if check["result"] in {"fail", "doubtful"}:
            permitted, actual = _interval(check, "permitted"), _interval(check, "actual")
            in_inch = "" if check.get("unit", "mm") != "mm" else f" ({_span_inch(actual)} in)"
            tell(
                f"{check['name']} {check['result']}: {_span(actual)}{in_inch} against "
                f"{_span(permitted)}; {check.get('rule') or ''}, {check.get('source') or ''}",
                indent=8,
                first="      ",
            )


def _interval(check: dict[str, Any], name: str) -> tuple[float | None, float | None]:
    value = check.get(f"{name}_mm") or check.get(name) or (None, None)
    return value[0], value[1]


def _span(interval: tuple[float | None, float | None]) -> str:
    low, high = interval
    if low is None and high is None:
        return "unknown"
    if low is not None and low == high:
        return _mm(low)
    return f"{'' if low is None else _mm(low)}..{'' if high is None else _mm(high)}"


def _span_inch(interval: tuple[float | None, float | None]) -> str:
    low, high = interval
    ends = [_inch(end) for end in (low, high) if end is not None]
    return "..".join(dict.fromkeys(ends))


def in_both(value: Any) -> str:
    """Return a size or an interval in both units."""
    if isinstance(value, list | tuple):
        interval = (value[0], value[1])
        return f"{_span(interval)} mm ({_span_inch(interval)} in)"
    return f"{_mm(value)} mm ({_inch(value)} in)" if isinstance(value, int | float) else str(value)


def _mm(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")


def _inch(value: float) -> str:
    return f"{value / MM_PER_INCH:.4f}"


def _words(name: str) -> str:
    return name.replace("_", " ")


def summary(document: dict[str, Any]) -> str:
    """Return one line: how many candidates and which comes first."""
    candidates = document["candidates"]
    if not candidates:
        return "nothing fits"
    first = candidates[0]
    return (
        f"{plural(len(candidates), 'candidate')}; first: {part_line(first['parts'][0])}, "
        f"{first['verdict']}, {first['certainty']}"
    )
