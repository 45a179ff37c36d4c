"""`xref store`: what the store holds, whether it is sound, and copies of it."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.output import plural, say, table, tell
from xref.faces.cli.shared import Shared, example, shared_options


def register(app: typer.Typer) -> None:
    """Add the group of commands to the application."""
    group = typer.Typer(
        rich_markup_mode=None, no_args_is_help=True, epilog=example("xref store info")
    )
    app.add_typer(group, name="store", help="Show, check, back up or restore the store.")

    @group.command(epilog=example("xref store info"))
    @shared_options("on")
    def info(
        shared: Shared,
    ) -> None:
        """Show where the store is, its lists and their editions, and what is recorded."""
        shared.emit(shared.store().info(), render_info)

    @group.command(epilog=example("xref store check"))
    @shared_options("on")
    def check(
        shared: Shared,
    ) -> None:
        """Rebuild the records from their events, read every list, and compare.

        Exit status 6 when something is damaged; nothing is changed.
        """
        document = shared.store().check()
        shared.emit(document, render_check, 6 if document["damage"] else 0)

    @group.command(
        epilog=example(
            "xref load data_demo/stock_quastenburg_later.csv --table stock \\\n"
            "    --supplier 'Dichtungslager Quastenburg' --currency EUR --on 2027-09-20",
            "xref store withdraw 'Dichtungslager Quastenburg'",
        )
    )
    @shared_options("on")
    def withdraw(
        shared: Shared,
        name: Annotated[
            str, typer.Argument(metavar="LIST", help="The list's number or name in `store info`.")
        ],
    ) -> None:
        """Take back the last loading of a list; the one before it counts again.

        Nothing is deleted. Without one before, the list is gone from every search.
        """
        from xref.acts.withdraw import withdraw as act

        shared.emit(act(shared.store(), name), render_withdraw)

    @group.command(epilog=example("xref store backup copy.zip"))
    @shared_options("on")
    def backup(
        shared: Shared,
        file: Annotated[Path, typer.Argument(metavar="FILE", help="The file to write.")],
    ) -> None:
        """Write the whole store into one file."""
        shared.emit(shared.store().backup(file), render_backup)

    @group.command(epilog=example("xref store backup copy.zip", "xref store restore copy.zip"))
    @shared_options("on")
    def restore(
        shared: Shared,
        file: Annotated[Path, typer.Argument(metavar="FILE", help="A file made by backup.")],
    ) -> None:
        """Put the store back as it was in the backup; what is there now is kept beside it."""
        from xref.store import Store

        shared.emit(Store.restore(file, shared.folder), render_backup)


def render_info(document: dict[str, Any]) -> None:
    """Print what the store holds."""
    for name, value in document.items():
        if not isinstance(value, list | dict):
            say(f"{name.replace('_', ' ')}: {value}")
    lists = document.get("lists") or []
    if lists:
        say()
        columns = ["list", "table", "name", "edition", "items", "as_of"]
        table(columns, [[one.get(name) for name in columns] for one in lists], right="list items")


def render_check(document: dict[str, Any]) -> None:
    """Print what a check found."""
    say(f"{plural(document['events'], 'event')}, {plural(document['editions'], 'edition')} read.")
    for found in document["damage"]:
        tell(f"{found['where']}: {found['what']} ({found['code']})", indent=4, first="  - ")
    for found in document["notes"]:
        tell(f"note: {found['where']}: {found['what']}", indent=4, first="  ")
    damage = len(document["damage"])
    say(f"{plural(damage, 'finding')} of damage." if damage else "The store is sound.")


def render_withdraw(document: dict[str, Any]) -> None:
    """Print which edition counts now."""
    say(f"{document['name']}: edition {document['withdrawn']} is taken back.")
    if document["current"] is None:
        say("There was none before it, so no search finds this list any more.")
    else:
        say(f"Edition {document['current']}, as of {document['as_of']}, counts again.")


def render_backup(document: dict[str, Any]) -> None:
    """Print where a copy was written or what was restored."""
    for name, value in document.items():
        tell(f"{name.replace('_', ' ')}: {value}", indent=4, first="")
