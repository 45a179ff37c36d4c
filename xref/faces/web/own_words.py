"""What the acts say, in the page's own words: an answer's name leads to the field that takes it.

The acts name an answer by its name in the contract, and a command, since that is what everybody
has; a command line prints those as they are. Here each name becomes the label of the page's own
field (the labels stand here once, and the forms are written from them), and answers that a
question offers become choices. No rule is repeated: only the names are.
"""

from __future__ import annotations

import re

LABELS = {
    # beside the box
    "kind": "Kind of part",
    "shaft": "Shaft or journal",
    "housing": "Housing bore",
    "depth": "Depth or length of the seat",
    "gap": "Gap a washer or ring fills",
    "fillet": "Radius at the shoulder",
    "groove_diameter": "Groove diameter",
    "groove_width": "Groove width",
    "mating_diameter": "Mating bore or rod",
    "uncertainty": "How well measured, ±",
    "gland": "Form of the groove",
    "motion": "Motion of an O-ring",
    "rpm": "Revolutions per minute",
    "medium": "What is kept in",
    "temperature": "Highest temperature, °C",
    "pressure_bar": "Pressure, bar",
    "load": "Load on a bearing or bush",
    "load_n": "Load, N",
    "life_hours": "Hours it must run",
    "rotating": "Ring that turns under the load",
    "wear_track": "Worn track: position, width",
    "dirt": "Dirt reaches it",
    # a list that is read
    "table": "What it is",
    "unit": "Sizes without a unit",
    "currency": "Currency",
    "supplier": "Whose list",
    "decimal": "Decimal sign",
    "sheet": "Sheet",
    "header_row": "Row of the headings",
    "no_header": "It has no headings",
    "encoding": "Characters",
    "column": "What its headings mean",
    # wants, offers, goods in, the plan
    "quantity": "Pieces",
    "number": "Number they named",
    "failed": "Why it did not fit",
    "maker": "Maker",
    "reason": "Why",
    "place": "What the place is called",
    # what the machine shows against the book
    "machine": "Machine",
    "serial": "Serial number of the machine",
    "bears": "Number on the part fitted",
    "form": "Which form it is",
    "rates": "Rates",
    "work_rate": "An hour of work costs",
}
_SAME = {"name": "supplier"}
_ELSEWHERE = {  # what is no field but a button, or is typed into the box
    "decision": "one of the buttons under “Record it”",
    "test": "the buttons beside the test",
    "id": "its sizes",
    "od": "its sizes",
    "width": "its sizes",
    "length": "its sizes",
    "thickness": "its sizes",
    "section": "its sizes",
}
_COMMANDS = {
    "supplier add": "“Note a supplier” on the page Today",
    "want add": "“Add a want” on the page Wanted",
    "want close": "“It ends another way” on the page of the want",
    "offer add": "“Told by telephone” on the page of the want",
    "offer withdraw": "“An offer or an order falls away” on the page of the want",
    "order cancel": "“An offer or an order falls away” on the page of the want",
    "order add": "“Note as ordered” on the page of the want",
    "proof add": "the tests on the page of the want",
    "evidence add": "“The machine shows another part” on the page of the want or the place",
    "evidence withdraw": "“Take it back” on the page of the want or the place",
    "receive": "the page Arrived",
    "teardown add": "the page Machine",
    "enquiry write": "“Write the letter” on the page Today",
    "enquiry sent": "“It was sent today” on the page of the letter",
    "enquiry answer": "the page of the letter",
    "load": "“Read a list” on the page Lists",
    "match": "the box on the page Find",
    "identify": "the box on the page Find",
    "want list": "the page Wanted",
    "due": "the page Today",
    "plan": "“Buying plan” on the page Wanted",
}
_VALUE = r"'[^']*'|[A-Z]+(?:,[A-Z]+)?\b(?![a-z])|[a-z_]+(?:\|[a-z_]+)+|\d[\w./-]*(?:mm|in)\b"
_OPTION = re.compile(rf"--(?P<name>[a-z][a-z-]*)(?:[ =](?P<value>{_VALUE}))?")
_ANSWER = re.compile(r"\s*Answer with (?P<options>--[a-z].*)$", re.DOTALL)
_COMMAND = re.compile(r"`xref (?P<words>[a-z-]+(?: [a-z-]+)?)[^`]*`")
_TWICE = re.compile(r"(“[^”]+”|its sizes)(?:(?:,| or) \1)+")
_MEASURE = re.compile(r": xref receive \d+ [^(;]*")
_OFFERED = re.compile(r"--(?P<name>unit|table|column)[ =](?P<value>'[^']*'|[a-z_]+(?:\|[a-z_]+)*)")


def label(name: str) -> str:
    """Return the label of the field that takes an answer; raises KeyError for none."""
    return LABELS[name]


def here(sentence: str | None) -> str:
    """Return a sentence of the acts with fields and pages in place of options and commands."""
    if not sentence:
        return ""
    if "--" not in sentence and "xref " not in sentence:
        return sentence
    answer = _ANSWER.search(sentence)
    if answer is not None:
        names = dict.fromkeys(m["name"] for m in _OPTION.finditer(answer["options"]))
        said = " or ".join(dict.fromkeys(_field(name) for name in names))
        sentence = f"{sentence[: answer.start()]} Answer with {said} below."
    sentence = _MEASURE.sub(" and type it above ", sentence)
    return _TWICE.sub(r"\1", _OPTION.sub(_in_place, _COMMAND.sub(_page, sentence)))


def offered(question: str) -> list[dict[str, str]]:
    """Return the answers that a question about a list offers: `name`, `value` of each.

    >>> offered("in inches or in millimetres? Answer with --unit in or --unit mm")
    [{'name': 'unit', 'value': 'in'}, {'name': 'unit', 'value': 'mm'}]
    """
    answer = _ANSWER.search(question)
    if answer is None:
        return []
    return [
        {"name": m["name"], "value": value}
        for m in _OFFERED.finditer(answer["options"])
        for value in (
            [m["value"].strip("'")] if m["value"].startswith("'") else m["value"].split("|")
        )
    ]


def _field(name: str) -> str:
    name = name.replace("-", "_")
    name = _SAME.get(name, name)
    if name in LABELS:
        return f"“{LABELS[name]}”"
    return _ELSEWHERE.get(name, f"the option --{name.replace('_', '-')} of the command line")


def _in_place(match: re.Match[str]) -> str:
    value = match["value"] or ""
    shown = f" {value}" if value[:1].isdigit() else ""  # an example stays, a placeholder goes
    return _field(match["name"]) + shown


def _page(match: re.Match[str]) -> str:
    """Return where the page does what a command does; what only a command does stays one."""
    words = match["words"]
    return _COMMANDS.get(words) or _COMMANDS.get(words.split()[0]) or match[0]
