"""Reading a file: a look at how it is understood, answers, loading, rows mended in place."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from typing import Any

from starlette.responses import Response

from xref.errors import Impossible, NeedsAnswer, NothingFound
from xref.faces.web.bench import Job, Upload
from xref.faces.web.own_words import here, offered
from xref.faces.web.visit import Visit, link, sentence
from xref.kinds.spec import dimension_names, kinds, spec, trait_names

Row = dict[str, Any]
ANSWERS = ("table", "kind", "unit", "sheet", "decimal", "encoding", "currency", "supplier")
TABLES = ("stock", "catalogue", "originals", "interchange", "suppliers", "wanted")
_ANSWER_WORDS = {
    "in": "inches",
    "mm": "millimetres",
    "stock": "a supplier's stock",
    "catalogue": "a catalogue with sizes",
    "originals": "a parts book",
    "interchange": "numbers for numbers",
    "suppliers": "suppliers",
    "wanted": "wanted parts",
}
AT_ONCE = 2.0  # seconds a load may take before the page shows that it is under way


def lists(visit: Visit) -> Response:
    """The lists loaded, and the form that takes a file."""
    editions = visit.bench.store().editions()
    return visit.page("lists.html", editions=sorted(editions, key=lambda e: (e.table, e.name)))


def send(visit: Visit) -> Response:
    """Take a file and lead to its preview."""
    sent = visit.files.get("file")
    if sent is None or not sent.filename:
        raise NeedsAnswer("Which file? Choose one first.", at="file")
    key = visit.bench.take(sent.filename, sent.file)
    return visit.go(link(f"/lists/file/{key}", **visit.stated(*ANSWERS)))


def preview(visit: Visit) -> Response:
    """How the file is understood; nothing is loaded."""
    from xref.acts.list_file import preview as look

    file = _file(visit)
    answers, columns = _answers(visit)
    problem = None
    try:
        found = look(file.path, **answers, columns=columns)
    except Impossible as error:
        problem, found = sentence(error), look(file.path)
    file.rows = found["row_count"] or None
    return visit.page(
        "preview.html",
        file=file,
        key=visit.request.path_params["key"],
        found=found,
        said=answers,
        questions=[_question(visit, text, found) for text in found["questions"]],
        problem=problem,
        tables=TABLES,
        kinds=[(k, spec(k).title) for k in kinds()],
        fields=_fields(str(found["table"] or answers.get("table") or "stock")),
        columns=_columns(found, columns),
        query=visit.request.url.query,
    )


def load(visit: Visit) -> Response:
    """Load the file as the preview showed it; a long load goes on while the page waits."""
    from xref.acts.load import load as act

    file = _file(visit)
    answers, columns = _answers(visit)
    bench = visit.bench
    name = answers.get("supplier") or file.path.stem

    def work(tell: Callable[[str], None]) -> Row:
        asked = {**answers, "columns": columns, "tell": tell}
        return act(bench.store(), file.path, on=bench.day, name=name, **asked)

    return _work(visit, work, visit.request.url.query)


def mend(visit: Visit) -> Response:
    """Load the rows that were mended on the page."""
    from xref.acts.list_file import mend as act

    file = _file(visit)
    answers, columns = _answers(visit)
    bench = visit.bench
    edits: dict[str, dict[str, str]] = {}
    for name, values in visit.form.items():
        kind, _, rest = name.partition(":")
        if kind == "cell":  # cell:<row>:<column>, the heading in head:<column>
            row, _, column = rest.rpartition(":")
            heading = visit.form.get(f"head:{row}:{column}", [""])[0]
            edits.setdefault(row, {})[heading] = values[0]
    name = answers.get("supplier") or file.path.stem

    def work(_tell: Callable[[str], None]) -> Row:
        return act(
            bench.store(), file.path, edits, on=bench.day, name=name, **answers, columns=columns
        )

    return _work(visit, work, visit.request.url.query)


def job(visit: Visit) -> Response:
    """What a load gave, or how long it has been under way."""
    from xref.acts.list_file import preview as look

    found = visit.bench.job(visit.request.path_params["job"])
    if found is None:
        raise NothingFound("This load is no longer remembered; the lists show what is loaded.")
    if found.error is not None:
        raise found.error
    upload = visit.bench.file(found.file)
    aside: list[Row] = []
    if found.result is not None and found.result["set_aside"] and upload is not None:
        answers, columns = _answers(visit)
        aside = look(upload.path, **answers, columns=columns)["aside"]
    return visit.page(
        "loaded.html",
        job=found,
        result=found.result,
        aside=_still_aside(aside, found.result),
        seconds=int(time.monotonic() - found.started),
        upload=upload,
        query=visit.request.url.query,
    )


def _still_aside(aside: list[Row], result: Row | None) -> list[Row]:
    """Return the rows that this load set aside, with the reason of this load."""
    reasons = {_place(r["at"]): r["reason"] for r in (result or {}).get("set_aside_rows", [])}
    return [{**row, "reason": reasons[row["key"]]} for row in aside if row["key"] in reasons]


def _place(at: Any) -> str:
    return f"{at['sheet']}!{at['row']}" if isinstance(at, dict) else str(at)


def _work(visit: Visit, work: Callable[[Callable[[str], None]], Row], query: str) -> Response:
    """Do a long work in a thread of its own; lead to its page, which waits where it must."""
    started = visit.bench.start(Job(visit.request.path_params["key"]))

    def run() -> None:
        try:
            started.result = work(started.tell)
        except Exception as error:  # noqa: BLE001 - kept, and raised on the page that shows it
            started.error = error

    thread = threading.Thread(target=run, name="xref-load", daemon=True)
    thread.start()
    thread.join(AT_ONCE)
    return visit.go(f"/lists/load/{started.key}" + (f"?{query}" if query else ""))


def _file(visit: Visit) -> Upload:
    file = visit.bench.file(visit.request.path_params["key"])
    if file is None:
        raise NothingFound(
            "This file is no longer here: it was sent before the page was started again, or "
            "many were sent since. Send it again."
        )
    return file


def _answers(visit: Visit) -> tuple[Row, dict[str, str]]:
    """Return the answers given, and which heading means what."""
    answers: Row = visit.stated(*ANSWERS)
    if visit.said("header_row"):
        answers["header_row"] = visit.whole("header_row")
    if visit.said("no_header"):
        answers["no_header"] = True
    query = visit.request.query_params
    columns = {}
    for name in query:
        kind, _, number = name.partition(":")
        heading = query.get(f"head:{number}", "")
        if kind == "col" and query[name] and heading:
            columns[heading] = query[name]
    return answers, columns


def _columns(found: Row, said: dict[str, str]) -> list[Row]:
    """Return each heading with what it is taken for and what the user said of it."""
    headings = found["headings"] or list(found["columns"])
    return [
        {"heading": h, "taken": found["columns"].get(h), "said": said.get(h, "")}
        for h in dict.fromkeys(headings)
        if h.strip()
    ]


def _question(visit: Visit, text: str, found: Row) -> Row:
    """Return a question in the page's words, with the answers it offers as addresses."""
    said = dict(visit.request.query_params)
    headings = [c["heading"] for c in _columns(found, {})]
    choices = []
    for answer in offered(text):
        more = {answer["name"]: answer["value"]}
        label = _ANSWER_WORDS.get(answer["value"], answer["value"])
        if answer["name"] == "column":
            heading, _, ours = answer["value"].rpartition("=")
            if heading not in headings:
                continue
            place = headings.index(heading) + 1
            more = {f"head:{place}": heading, f"col:{place}": ours}
            label = f"{heading} is the {ours.replace('_', ' ')}"
        address = link(visit.request.url.path, **{**said, **more})
        choices.append({"label": label, "address": address})
    return {"words": here(text), "choices": choices}


def _fields(table: str) -> list[tuple[str, str]]:
    """Return what a heading may mean in a table: its fields, and the sizes of parts."""
    from xref.tables.schema import table_schema

    schema = table_schema(table)
    fields = [(f.name, f.title) for f in schema.fields]
    if schema.with_kinds:
        names = [*dimension_names(), *trait_names()]
        fields += [("size", "all sizes together")] + [(n, n.replace("_", " ")) for n in names]
    known: dict[str, str] = {}
    for name, title in fields:
        known.setdefault(name, title)
    return [*known.items(), ("ignore", "nothing of ours (kept as it is)")]
