"""`xref due`: what must be done, by when, most urgent first."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from xref.faces.cli.output import note, plural, say, tell
from xref.faces.cli.shared import Shared, example, shared_options

SHOWN = 25


def register(app: typer.Typer) -> None:
    """Add the command to the application."""

    @app.command(
        epilog=example("xref due --on 2027-09-06", "xref due --on 2027-09-06 --ics deadlines.ics")
    )
    @shared_options()
    def due(
        shared: Shared,
        ics: Annotated[
            Path | None,
            typer.Option("--ics", metavar="FILE", help="Also write a calendar file with alarms."),
        ] = None,
        decision_days: Annotated[
            int | None,
            typer.Option(
                "--decision-days", metavar="N", help="Days you want for deciding; else 7."
            ),
        ] = None,
        all_: Annotated[
            bool, typer.Option("--all", help="Show every action, not only the first 25.")
        ] = False,
    ) -> None:
        """Show whom to ask, what to chase, decide, order and test, with the latest safe day."""
        from xref.acts.want_candidates import candidates
        from xref.sourcing import due as sourcing
        from xref.sourcing.due_rules import DECISION_DAYS

        document = sourcing.due(
            shared.store(),
            shared.day,
            ics=ics,
            decision_days=DECISION_DAYS if decision_days is None else decision_days,
            find=candidates,
        )
        shown = len(document["actions"]) if all_ else SHOWN
        shared.emit(document, lambda d: _render(d, shown))


def _render(document: dict[str, Any], shown: int) -> None:
    actions = document["actions"]
    if not actions:
        note(f"Nothing is due on {document['on']}.")
    for action in actions[:shown]:
        by = action["by"] or "no date"
        late = "  OVERDUE" if action["overdue"] else ""
        say(f"{by:10}  {action['do']:6}  {action['supplier']}, want {action['want']}{late}")
        tell(action["why"], indent=12, first=" " * 12)
    if len(actions) > shown:
        say(f"... and {plural(len(actions) - shown, 'action')} more (--all)")
    if document.get("calendar"):
        note(
            f"{plural(document['calendar_entries'], 'entry', 'entries')} written to "
            f"{document['calendar']}"
        )
