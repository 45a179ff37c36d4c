"""The command line: finds the command, runs it, and turns every failure into a sentence.

Each noun has a module beside this one with `register(app)`. For a known first
word only that module is imported, so that a look-up does not pay for the
commands it does not use; `--help` and shell completion import them all, which
is why none of them may import a database or an array library at its top.
"""

from __future__ import annotations

import importlib
import os
import re
import sys
import warnings
from collections.abc import Sequence
from typing import Annotated

import typer

from xref.errors import XrefError
from xref.faces.cli.coercion import lighten
from xref.faces.cli.output import note, print_json, sentence
from xref.faces.cli.shared import JsonOption, LogOption, OnOption, StoreOption

# Command -> module, in the order in which `xref --help` shows them: the main
# acts first, then the records, then the store.
COMMANDS = {
    "demo": "demo",
    "read": "read",
    "load": "load",
    "identify": "identify",
    "match": "match",
    "match-list": "match_list",
    "fit": "fit",
    "due": "due",
    "plan": "plan",
    "receive": "receive",
    "contradictions": "contradictions",
    "sheet": "sheet",
    "serve": "serve",
    "want": "want",
    "supplier": "supplier",
    "enquiry": "enquiry",
    "offer": "offer",
    "order": "order",
    "proof": "proof",
    "evidence": "evidence",
    "teardown": "teardown",
    "store": "store",
}
INTERRUPTED = 130
_INTERRUPTED_QUERY = "Query interrupted"  # what the database makes of Ctrl-C while it works
UNEXPECTED = 2
REFUSED = 4
COMPLETION_VARIABLE = "_XREF_COMPLETE"
_DASH_NUMBER = re.compile(r"-\d{3}", re.ASCII)


def build(modules: Sequence[str]) -> typer.Typer:
    """Return the application with the commands of these modules registered."""
    app = typer.Typer(
        name="xref",
        help=(
            "Find what fits now for a part whose maker is gone: read any parts list, identify a "
            "number, match by dimensions and fit, and source it before the supplier closes.\n\n"
            "Sizes carry their unit: 2-3/8in, 60.31mm. Begin with: xref demo"
        ),
        rich_markup_mode=None,
        pretty_exceptions_enable=False,
        no_args_is_help=True,
        epilog="\b\nExample:\n  xref match --kind shaft_seal --shaft 60.31mm --housing 79.40mm",
        context_settings={"help_option_names": ["-h", "--help"]},
    )

    @app.callback(invoke_without_command=True)
    def xref(
        json: JsonOption = False,
        store: StoreOption = None,
        on: OnOption = None,
        log: LogOption = None,
        version: Annotated[bool, typer.Option("--version", help="Show the version.")] = False,
    ) -> None:
        del json, store, on, log  # gathered by their callbacks
        if version:
            from importlib.metadata import version as installed

            print(f"xref {installed('xref')}")
            raise typer.Exit

    for module in modules:
        importlib.import_module(f"xref.faces.cli.{module}").register(app)
    return app


def main() -> int:
    """Run the words of the command line; the console script's entry point.

    Sets what belongs to the whole process, then leaves the rest to `run`.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):  # a name no terminal can show must not end the program
            stream.reconfigure(errors="backslashreplace")
    # Else numpy starts a thread per processor for products of matrices, of which there are none.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    if not sys.warnoptions:  # Python's warnings are for the log, not for the user
        warnings.simplefilter("ignore")
    return run(sys.argv[1:])


def run(words: Sequence[str]) -> int:
    """Run one command and return its exit status.

    Statuses: 0 done, 1 nothing found, 2 usage, 3 needs an answer, 4 input refused, 5 store
    unavailable, 6 contradictions or damage found, 130 interrupted.
    """
    as_json = "--json" in words
    try:
        return _dispatch(dash_number_last(words))
    except XrefError as error:
        _report(error.code, str(error), error.at, as_json)
        return error.exit_status
    except typer.TyperException as error:
        _report("usage", error.format_message(), None, as_json)
        if not as_json:
            note(f"Try: {_command_path(error)} --help")
        return 2
    except (KeyboardInterrupt, typer.Abort):
        return INTERRUPTED
    except (BrokenPipeError, SystemExit):  # the latter is how Typer ends on a closed pipe
        _discard_output()
        return 0
    except OSError as error:  # a path that cannot be: too long, no such folder, not allowed
        if error.filename is None:
            return _unforeseen(error, words, as_json)
        reason = (error.strerror or type(error).__name__).lower()
        _report("file", f"{error.filename}: {reason}. Check the path.", None, as_json)
        return REFUSED
    except Exception as error:  # noqa: BLE001  # the last fence before the user: no traceback
        if isinstance(error, RuntimeError) and str(error) == _INTERRUPTED_QUERY:
            return INTERRUPTED
        return _unforeseen(error, words, as_json)


def dash_number_last(words: Sequence[str]) -> list[str]:
    """Return the words with an O-ring's dash number (`match -214`) where it is no option: last.

    As the value of an option before it, it is left where it stands.
    """
    if "--" in words:
        return list(words)
    numbers = [
        at
        for at, word in enumerate(words)
        if at and _DASH_NUMBER.fullmatch(word) and not words[at - 1].startswith("-")
    ]
    others = [word for at, word in enumerate(words) if at not in numbers]
    return [*others, "--", *(words[at] for at in numbers)] if numbers else others


def _unforeseen(error: Exception, words: Sequence[str], as_json: bool) -> int:
    """Report a failure nobody foresaw as a sentence, and log its traceback."""
    import logging

    logger = logging.getLogger("xref")
    logger.addHandler(logging.NullHandler())  # without --log, nothing
    logger.error("unexpected failure in: xref %s", " ".join(words), exc_info=error)
    _report("unexpected", _apology(error), None, as_json)
    return UNEXPECTED


def _dispatch(words: list[str]) -> int:
    """Run the command line, registering only the commands whose names occur in it."""
    named = [word for word in words if word in COMMANDS]
    before = words[: words.index(named[0])] if named else words
    everything = not named or {"-h", "--help"} & set(before) or COMPLETION_VARIABLE in os.environ
    modules = [COMMANDS[name] for name in COMMANDS if everything or name in named]
    command = typer.main.get_command(build(modules))
    lighten(command)
    status = command.main(
        words, prog_name="xref", complete_var=COMPLETION_VARIABLE, standalone_mode=False
    )
    sys.stdout.flush()
    return status if isinstance(status, int) else 0


def _report(code: str, message: str, at: str | None, as_json: bool) -> None:
    """Show a failure: a sentence on stderr, or the contract's error document on stdout."""
    message = sentence(message)
    if as_json:
        print_json({"error": {"code": code, "message": message, "at": at}})
        return
    place = at if at and not at.replace("-", " ").replace(" ", "").isalpha() else None
    note(f"{message} (at {place})" if place and place not in message else message)


def _apology(error: Exception) -> str:
    """Return the sentence for a failure nobody foresaw."""
    kind = type(error).__name__
    return (
        f"xref stopped on something it was not built for ({kind}: {error}). What was finished "
        "before is kept. To report it, run the command again with --log FILE and send that file."
    )


def _command_path(error: typer.TyperException) -> str:
    """Return the words of the command whose usage was wrong, for the hint at its help."""
    context = getattr(error, "ctx", None)
    return context.command_path if context is not None else "xref"


def _discard_output() -> None:
    """Point stdout at nothing, so that the interpreter's last flush stays silent too."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


if __name__ == "__main__":
    sys.exit(main())
