"""What every command has: --json, --store, --on and --log on either side of its name, and examples.

`xref --json due` and `xref due --json` mean the same: the options' callbacks gather what was said
in one `Shared` at the root, and `@shared_options` hands it to the command.
"""

from __future__ import annotations

import contextlib
import inspect
import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass
from datetime import date
from inspect import Parameter
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, get_type_hints

import typer

from xref.faces.cli.output import emit

if TYPE_CHECKING:
    from xref.store import Store


@dataclass
class Shared:
    """What the shared options have said."""

    as_json: bool = False
    folder: Path | None = None
    on: date | None = None
    log: Path | None = None

    @property
    def day(self) -> date:
        """The date to act on: `--on`, else today by the local clock."""
        return self.on or date.today()

    def store(self) -> Store:
        """Open the store that is named; its import waits until a command needs it."""
        from xref.store import Store

        return Store.open(self.folder)

    def emit(
        self,
        document: Mapping[str, Any],
        render: Callable[[dict[str, Any]], None],
        exit_status: int = 0,
    ) -> None:
        """Print an act's document as asked for and end with `exit_status`."""
        emit(document, self.as_json, render, exit_status)


class Group:
    """Options that several commands take together: a dataclass, each field an option."""

    def given(self) -> dict[str, Any]:
        """Return what was stated; options left out, and switches not set, are no statement."""
        # Not `in (None, False)`: a pressure of 0 bar is a statement, and 0 equals False.
        return {
            name.removesuffix("_"): value
            for name, value in vars(self).items()
            if value is not None and value is not False
        }


def _gathered(context: typer.Context) -> Shared:
    return context.find_root().ensure_object(Shared)


def _keep_json(context: typer.Context, value: bool) -> bool:
    shared = _gathered(context)
    shared.as_json = shared.as_json or value
    return shared.as_json


def _keep_store(context: typer.Context, value: Path | None) -> Path | None:
    shared = _gathered(context)
    shared.folder = value or shared.folder
    return shared.folder


def _keep_on(context: typer.Context, value: date | None) -> date | None:
    shared = _gathered(context)
    shared.on = value or shared.on
    return shared.on


def _keep_log(context: typer.Context, value: Path | None) -> Path | None:
    shared = _gathered(context)
    if value is not None and value != shared.log:
        shared.log = value
        _write_log_to(value)
    return shared.log


def _write_log_to(path: Path) -> None:
    """Send everything xref notes about its own working to this file."""
    import logging

    try:
        logging.basicConfig(
            filename=path,
            level=logging.DEBUG,
            format="%(asctime)s %(levelname)s %(name)s: %(message)s",
            encoding="utf-8",
            force=True,
        )
        logging.captureWarnings(True)
        warnings.resetwarnings()
    except OSError as error:
        raise typer.BadParameter(f"{path} cannot be written: {error.strerror}") from error


def a_date(text: str | date) -> date:
    """Return the date written as YYYY-MM-DD; anything else is a usage error."""
    if isinstance(text, date):
        return text
    with contextlib.suppress(ValueError):
        found = date.fromisoformat(text)
        if found.isoformat() == text:  # a week, `2027-W05`, would be taken for its Monday
            return found
    raise typer.BadParameter(f"{text!r} is not a date of the calendar. Write it as 2026-11-01.")


JsonOption = Annotated[
    bool,
    typer.Option("--json", callback=_keep_json, help="Print one JSON document and nothing else."),
]
LogOption = Annotated[
    Path | None,
    typer.Option(
        "--log",
        metavar="FILE",
        callback=_keep_log,
        help="Write a debug log to this file.",
    ),
]


def _store_option(*, idle: bool = False) -> Any:
    return Annotated[
        Path | None,
        typer.Option(
            "--store",
            metavar="DIR",
            callback=_keep_store,
            hidden=idle,
            help="The store to use; else XREF_STORE, else the usual data directory.",
        ),
    ]


def _on_option(*, idle: bool = False) -> Any:
    return Annotated[
        date | None,
        typer.Option(
            "--on",
            metavar="DATE",
            parser=a_date,
            callback=_keep_on,
            hidden=idle,
            help="Act as on this date (YYYY-MM-DD) in place of today.",
        ),
    ]


StoreOption = _store_option()
OnOption = _on_option()


def shared_options(*idle: str) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Give a command the shared options; it receives them as its first argument, a `Shared`.

    Options that several commands take together are a dataclass, each field an option; a parameter
    of that type stands for all of them.
    `idle`: "store" or "on" where it has no use for them. It takes them still, so that one set of
    shared options may follow every command of a script, and its help does not show them.
    """
    added = (
        ("store", (_store_option(idle="store" in idle), None)),
        ("on", (_on_option(idle="on" in idle), None)),
        ("json", (JsonOption, False)),
        ("log", (LogOption, None)),
    )

    def give(command: Callable[..., None]) -> Callable[..., None]:
        _, *own = inspect.signature(command, eval_str=True).parameters.values()
        options = [_option(name, annotation, default) for name, (annotation, default) in added]
        taken = [option for one in own for option in _in_group(one) or [_option_of(one)]]
        signature = inspect.Signature([_option("context", typer.Context), *taken, *options])

        def run(*, context: typer.Context, **given: Any) -> None:
            command(_gathered(context), **{one.name: _value(one, given) for one in own})

        run.__name__, run.__doc__ = command.__name__, command.__doc__
        run.__signature__ = signature  # type: ignore[attr-defined]  # what Typer reads
        run.__annotations__ = {p.name: p.annotation for p in signature.parameters.values()}
        return run

    return give


def _option(name: str, annotation: Any, default: Any = Parameter.empty) -> Parameter:
    return Parameter(name, Parameter.KEYWORD_ONLY, default=default, annotation=annotation)


def _option_of(parameter: Parameter) -> Parameter:
    return parameter.replace(kind=Parameter.KEYWORD_ONLY)


def _in_group(parameter: Parameter) -> list[Parameter]:
    """Return the options of a parameter that stands for several: the fields of a dataclass."""
    group = parameter.annotation
    if not is_dataclass(group):
        return []
    hints = get_type_hints(group, include_extras=True)
    return [_option(field.name, hints[field.name], field.default) for field in fields(group)]


def _value(parameter: Parameter, given: Mapping[str, Any]) -> Any:
    group = parameter.annotation
    if not is_dataclass(group):
        return given[parameter.name]
    return group(**{field.name: given[field.name] for field in fields(group)})  # type: ignore[operator]


def example(*commands: str) -> str:
    """Return the epilog of a command's help: lines that a test runs on the demo store.

    A long command is broken with a backslash at the line's end. Backspace keeps the lines as
    they are.
    """
    heading = "Example:" if len(commands) == 1 else "Examples:"
    lines = [f"  {line}" for command in commands for line in command.splitlines()]
    return "\n".join(["\b", heading, *lines])
