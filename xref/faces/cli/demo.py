"""`xref demo`: build a store from an invented scenario and do the main jobs on it."""

from __future__ import annotations

import contextlib
import io
import json as json_module
import shlex
from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.options import (
    JsonOption,
    LogOption,
    StoreOption,
    example,
    store_directory,
)
from xref.faces.cli.output import emit, note, plural, say, tell

TOP = ("--top", "2")  # the demo shows the best two; the user may ask for more


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(epilog=example("xref demo", "xref demo --store demo-store --files demo-files"))
    def demo(
        files: Annotated[
            Path | None,
            typer.Option(
                "--files", metavar="DIR", help="Also copy the demo's tables here, to try them."
            ),
        ] = None,
        store: StoreOption = None,
        json: JsonOption = False,
        log: LogOption = None,
    ) -> None:
        """Build a store from an invented scenario, do the main jobs, say what to try next.

        The store goes to --store or XREF_STORE; with neither, to a demo store of its own, never
        into yours. Run again, it changes nothing and shows the same.
        """
        del log
        from xref.acts import demo as act
        from xref.store import Store

        place = store_directory(store) or _own_place()
        opened = Store.open(place)
        if not json:
            note("Building the demo store ...")
        built = act.build(opened)
        if files is not None:
            _copy(act.files(), files)
        day = built["on"].isoformat()
        document = {"store": str(place), **built, "steps": [], "next": _next(day)}
        if not json:
            _introduce(document)
        for job in act.scenario()["jobs"]:
            words = [*job["args"], *(TOP if job["args"][0] == "match" else ())]
            words = [_file(word, act.files()) for word in words]
            shown = "xref " + shlex.join([*words, "--on", day] if _dated(words) else words)
            if not json:
                say()
                tell(job["say"])
                say(f"$ {shown}")
            answer = _do(place, day, words, json)
            document["steps"].append({"title": job["say"], "command": shown, "answer": answer})
        emit(document, json, _conclude)


def _own_place() -> Path:
    from platformdirs import user_data_dir

    return Path(user_data_dir("xref-demo", appauthor=False))


def _dated(words: list[str]) -> bool:
    return words[0] not in {"identify", "contradictions"}


def _file(word: str, files: Path) -> str:
    """Return the path of a demo file named in a job."""
    return str(files / word) if word.endswith(".csv") and (files / word).is_file() else word


def _do(place: Path, day: str, words: list[str], as_json: bool) -> Any:
    """Run one command on the demo store; with JSON, return its answer instead of printing it."""
    from xref.faces.cli.app import run

    shared = ["--store", str(place), *(["--on", day] if _dated(words) else [])]
    if not as_json:
        run([*words, *shared])
        return None
    captured = io.StringIO()
    with contextlib.redirect_stdout(captured):
        run([*words, *shared, "--json"])
    return json_module.loads(captured.getvalue())


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
    say(f"{plural(document['wants'], 'want')} on the wanted list.")


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
