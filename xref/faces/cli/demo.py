"""`xref demo`: build a store from an invented scenario and do the main jobs on it."""

from __future__ import annotations

import contextlib
import io
import json as json_module
import shlex
from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.load import render as render_load
from xref.faces.cli.output import note, plural, say, tell
from xref.faces.cli.shared import Shared, example, shared_options

TOP = ("--top", "2")  # the demo shows the best two; the user may ask for more
LINES = 22  # of each answer but the first match: the demo is an overview
SHOWN_LIST = "stock_hobbleton.xlsx"  # letterhead, two-row headings, fractions, odd rows
WANTED = {"say": "The wanted list.", "args": ["want", "list"]}


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(epilog=example("xref demo", "xref demo --store demo-store --files demo-files"))
    @shared_options("on")
    def demo(
        shared: Shared,
        files: Annotated[
            Path | None,
            typer.Option(
                "--files", metavar="DIR", help="Also copy the demo's tables here, to try them."
            ),
        ] = None,
    ) -> None:
        """Build a store from an invented scenario, do the main jobs, say what to try next.

        The store goes to --store or XREF_STORE; with neither, to a demo store of its own, never
        into yours. Run again, it changes nothing and shows the same.
        """
        from xref.acts import demo as act
        from xref.store import Store
        from xref.store.layout import named_folder

        place = named_folder(shared.folder) or _own_place()
        opened = Store.open(place)
        if not shared.as_json:
            note("Building the demo store ...")
        built = act.build(opened)
        if files is not None:
            _copy(act.files(), files)
        day = built["on"].isoformat()
        document = {"store": str(place), **built, "steps": [], "next": _next(day)}
        if not shared.as_json:
            _introduce(document)
        for job in _jobs(act.scenario()["jobs"]):
            words = [*job["args"], *(TOP if job["args"][0] == "match" else ())]
            shown = _command_line([*words, *(["--on", day] if _dated(words) else [])])
            first_match = words[0] == "match" and not any(
                step["command"].startswith("xref match") for step in document["steps"]
            )
            if not shared.as_json:
                say()
                tell(job["say"])
                say(f"$ {shown}")
            real = [_file(word, act.files()) for word in words]
            answer = _do(place, day, real, shared.as_json, None if first_match else LINES)
            document["steps"].append({"title": job["say"], "command": shown, "answer": answer})
        shared.emit(document, _conclude)


def _jobs(jobs: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the scenario's jobs with the wanted list shown before it is sourced."""
    first = next(at for at, job in enumerate(jobs) if job["job"] == "source")
    return [*jobs[:first], WANTED, *jobs[first:]]


def _command_line(words: list[str]) -> str:
    """Return a command as one types it, broken before an option where it is too long."""
    lines = ["xref"]
    words = [f"data_demo/{word}" if word.endswith(".csv") else word for word in words]
    pairs = shlex.join(words).replace(" --", "\n--").split("\n")
    for pair in pairs:
        if len(lines[-1]) + len(pair) > 74:
            lines.append("   ")
        lines[-1] += f" {pair}"
    return " \\\n".join(lines)


def _own_place() -> Path:
    from platformdirs import user_data_dir

    return Path(user_data_dir("xref-demo", appauthor=False))


def _dated(words: list[str]) -> bool:
    return words[0] not in {"identify", "contradictions"}


def _file(word: str, files: Path) -> str:
    """Return the path of a demo file named in a job."""
    return str(files / word) if word.endswith(".csv") and (files / word).is_file() else word


def _do(place: Path, day: str, words: list[str], as_json: bool, limit: int | None) -> Any:
    """Run one command on the demo store and print its first lines, or return its JSON answer."""
    from xref.faces.cli.app import run

    shared = ["--store", str(place), *(["--on", day] if _dated(words) else [])]
    captured = io.StringIO()
    with contextlib.redirect_stdout(captured):
        run([*words, *shared, *(["--json"] if as_json else [])])
    if as_json:
        return json_module.loads(captured.getvalue())
    lines = captured.getvalue().splitlines()
    for line in lines[:limit]:
        say(line)
    if limit is not None and len(lines) > limit:
        say(f"... ({plural(len(lines) - limit, 'line')} more)")
    return None


def _introduce(document: dict[str, Any]) -> None:
    machine = document["machine"]
    tell(
        f"{document['title']}. {machine['name']}, serial {machine['serial']}, by "
        f"{machine['maker']}. Everything in it is invented."
    )
    say()
    say(f"Store: {document['store']}")
    say(f"Day: {document['on']}. {plural(document['suppliers'], 'supplier')} noted.")
    say()
    say("Lists loaded")
    for loaded in document["lists"]:
        aside = f", {loaded['set_aside']} set aside" if loaded["set_aside"] else ""
        tell(
            f"{loaded['file']}: {loaded['table']}, {plural(loaded['loaded'], 'row')}{aside}",
            indent=4,
            first="  ",
        )
    say()
    loaded = next(one for one in document["lists"] if one["file"] == SHOWN_LIST)
    tell("A supplier's list as it came: a letterhead, two rows of headings, fractions.")
    words = ["load", f"data_demo/{SHOWN_LIST}"]
    for name, value in loaded["answers"].items():
        words += [f"--{name}", str(value)]
    say(f"$ {_command_line(words)}")
    render_load(loaded)


def _conclude(document: dict[str, Any]) -> None:
    say()
    say("What to try next")
    say(f"  export XREF_STORE={shlex.quote(document['store'])}")
    for command in document["next"]:
        say(f"  {command}")


def _next(day: str) -> list[str]:
    return [
        f"xref want list --on {day}",
        "xref identify 'IP 2113'",
        "xref match CJ/3162 --all",
        "xref contradictions",
        "xref demo --files demo-files",
        "xref load demo-files/stock_quastenburg_later.csv --table stock \\",
        "    --supplier 'Dichtungslager Quastenburg' --on 2027-09-20",
        "xref serve",
    ]


def _copy(source: Path, target: Path) -> None:
    import shutil

    shutil.copytree(source, target, dirs_exist_ok=True)
