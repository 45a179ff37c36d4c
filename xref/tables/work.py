"""The steps of one reading, from laid-out rows to questions, a refusal or finished rows."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Any

from xref.kinds.spec import kinds
from xref.tables import kindrows, memory, number_columns, recognise, units
from xref.tables.alike import Alike, alike
from xref.tables.answers import REMEMBERED, Answers
from xref.tables.coded import Coded
from xref.tables.column import present
from xref.tables.columns import Columns, assign, meaning_of
from xref.tables.ditto import repeat_above
from xref.tables.heading_answers import called, label
from xref.tables.layout import Block, Layout, take_apart
from xref.tables.list_units import settle_units
from xref.tables.number_columns import CellTests
from xref.tables.reading import Reading, empty_rows, empty_set_aside
from xref.tables.rowset import Rows
from xref.tables.schema import TABLES, table_schema
from xref.tables.text import fold, quoted, shown

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.formats.grid import GridSet
    from xref.tables.records import Records

FURNITURE_SHOWN = 500


def refused(message: str, said: Answers, encoding: str | None = None) -> Reading:
    """Return the reading of what cannot be a table."""
    return Reading(
        rows=empty_rows(),
        set_aside=empty_set_aside(),
        table=said.table,
        refused=True,
        message=message,
        encoding=encoding,
    )


@dataclass(slots=True)
class Part:
    """One block with the meaning of its columns, the kinds of its rows, and rows alike in sizes.

    `kind_rows` holds kinds and what is said of them, once for all rows of which it is the same;
    `kind_codes` tells which of them each row is.
    """

    block: Block
    columns: Columns
    kind_rows: Rows
    kind_codes: NDArray[Any]
    alike: Alike = field(init=False)

    @property
    def kinds(self) -> Coded:
        """The kind of each row, None where it is not known."""
        return Coded(self.kind_codes, self.kind_rows.values["kind"])


def _count_data_rows(blocks: list[Block]) -> None:
    """Number the data rows of a PDF, whose lines have no number of their own to go by."""
    count = 0
    for block in blocks:
        block.at = list(range(count + 1, count + 1 + len(block.at)))
        count += len(block.at)


def _lacking_cells(block: Block) -> Callable[[int], bool]:
    """Return what tells whether some rows of a block have nothing in a column."""
    return lambda index: not block.columns[index].filled.all()


def _cell_tests(block: Block) -> CellTests:
    """Return what can be asked of the columns of a block."""
    return CellTests(
        kinds=partial(kindrows.holds_kinds, block),
        units=partial(kindrows.holds_units, block),
        relations=partial(kindrows.holds_relations, block),
        counts_rows=partial(number_columns.counts_rows, block),
        numbers=partial(number_columns.holds_numbers, block),
        counts=partial(number_columns.holds_counts, block),
    )


def _of_unknown_kinds(block: Block, columns: Columns) -> Part:
    import numpy as np

    rows = Rows(1)
    rows.values["kind"] = np.array([None], dtype=object)
    codes = np.zeros(len(block.at), dtype=np.int32)
    return Part(block, columns, rows, codes)


class Work:
    """The steps of one reading, each a method, in the order of `reading`."""

    def __init__(self, grids: GridSet, records: Sequence[Records], said: Answers) -> None:
        self.grids = grids
        self.records = records
        self.said = said
        self.questions: list[str] = []
        self.notes: list[str] = list(grids.notes)
        self.table = said.table or ""  # empty while it is not known
        self.layouts: list[tuple[Records, Layout]] = []
        self.parts: list[Part] = []
        self.unit: str | None = None
        self.decided_unit: str | None = None

    def reading(self) -> Reading:
        """Go all the way, or stop at a refusal or at questions about the whole list."""
        self._lay_out()
        blocks = [block for _, layout in self.layouts for block in layout.blocks]
        self.notes += repeat_above(blocks)
        if self.grids.format == "pdf":
            _count_data_rows(blocks)
        if not blocks and not self._headings_only():
            return self._nothing_recognised()
        self._which_table(blocks)
        if not self.table:
            self._ask_about_sizes_too(blocks)
            return self._asked()
        if refusal := self._columns(blocks):
            return refusal
        self._kinds()
        settle_units(self)
        if self.questions:
            return self._asked()
        return self._finish()

    def _ask_about_sizes_too(self, blocks: list[Block]) -> None:
        """Add the questions of kind and unit, which stay whichever table the file turns out."""
        if "--table catalogue" in " ".join(self.questions):
            self.table = "catalogue"
            if self._columns(blocks) is None:
                self._kinds()
                settle_units(self)
            self.table = ""

    def _lay_out(self) -> None:
        said = self.said.fresh("table")
        tables = (said,) if said else TABLES
        for grid, records in zip(self.grids.grids, self.records, strict=True):
            if grid.hidden and self.said.sheet is None and len(self.records) > 1:
                # The format's own notes tell the user that the sheet is there.
                layout = Layout()
                layout.furniture = [(row, "hidden sheet") for row in range(len(records))]
            else:
                layout = take_apart(
                    records,
                    tables,
                    header_row=self.said.header_row,
                    no_header=self.said.no_header,
                    said=[theirs for theirs in self.said.columns if not theirs.strip().isdigit()],
                )
            layout.lines += grid.around
            self.layouts.append((records, layout))

    def _headings_only(self) -> bool:
        return any(what == "headings" for _, layout in self.layouts for _, what in layout.furniture)

    def _nothing_recognised(self) -> Reading:
        seen = [h for _, layout in self.layouts for h in layout.headings_seen]
        if not seen:
            return refused("The file holds no filled rows.", self.said, self.grids.encoding)
        what = f"as a {self.said.table} table" if self.said.table else "as a table of parts"
        listed = ", ".join(repr(shown(text, 40)) for text in seen[:20])
        refusal = refused(
            f"No headings are recognised {what}. The fullest row holds {listed}. Say which "
            "column is what with --column 'THEIR HEADING=number', where the headings stand with "
            "--header-row N, or that there are none with --no-header.",
            self.said,
            self.grids.encoding,
        )
        refusal.headings = seen
        return refusal

    def _which_table(self, blocks: list[Block]) -> None:
        """Recognise the table, or ask which it is."""
        before = self.said.table if "table" in self.said.recalled else None
        if not self.table or before:
            found = [
                recognise.recognise(self._seen(block), _lacking_cells(block)) for block in blocks
            ]
            tables = dict.fromkeys(table for table, _ in found if table)
            if before:
                self._still(before, blocks, list(tables))
            elif len(tables) == 1 or (len(tables) > 1 and len(self.grids.grids) == 1):
                self.table = next(iter(tables))
            elif len(tables) > 1:
                self.questions.append(
                    f"the sheets hold different tables ({', '.join(tables)}): which is meant? "
                    "Answer with --sheet NAME or --table NAME"
                )
            else:
                self.questions += [question for _, question in found[:1] if question]
            if not self.table and not self.questions:
                self.questions.append(
                    f"what kind of table is this? Answer with --table {'|'.join(TABLES)}"
                )

    def _still(self, before: str, blocks: list[Block], tables: list[str]) -> None:
        """Ask where a file of another make looks like another table than the supplier's before."""
        headings = {fold(heading) for block in blocks for heading in block.headings}
        fed = [heading for heading, name in self.said.seen.items() if name]
        if tables and before not in tables and not headings >= set(map(fold, fed)):
            self.questions.append(
                f"the supplier's list before was read as {before}, this one looks like "
                f"{tables[0]}: which is it? Answer with --table {tables[0]} or --table {before}"
            )
            self.table = ""

    def _seen(self, block: Block) -> list[str]:
        """Return headings with what the user said of them put in their place."""
        said = {k.strip(): v for k, v in self.said.columns.items()}
        return [said.get(heading.strip(), heading) for heading in block.headings]

    def _columns(self, blocks: list[Block]) -> Reading | None:
        known = [" ".join(h.split()) for block in blocks for h in block.headings]
        for theirs in self.said.columns:
            if theirs in self.said.remembered and theirs not in known:
                self.notes.append(f"the remembered heading {quoted(theirs)} is not in this file")
        for block in blocks:
            given = self._answers_for(block, alone=len(blocks) == 1)
            columns = assign(
                block.headings, self.table, given, _cell_tests(block), self.said.remembered
            )
            self._compare_with_before(block, columns)
            self.parts.append(_of_unknown_kinds(block, columns))
        if self.said.no_header and not any(part.columns.used for part in self.parts):
            self._ask_without_headings(blocks)
            return None
        lacking = self._lacking()
        if lacking and len(lacking) == len(self.parts):
            return self._wrong_table(lacking[0])
        for part in self.parts:
            self.questions += [q for q in part.columns.questions if q not in self.questions]
            self.notes += [n for n in part.columns.notes if n not in self.notes]
        return None

    def _compare_with_before(self, block: Block, columns: Columns) -> None:
        """Ask about columns that are not where the supplier's list before had them."""
        fresh = {o for theirs, o in self.said.columns.items() if theirs not in self.said.remembered}
        if self.said.no_header:
            why = memory.unlike(block, columns, self.said.seen) if not fresh else None
            if why is not None:
                self._ask_without_headings([block], f"{why}: ")
            return
        questions, notes = memory.moved(block, columns, self.said.seen, fresh)
        columns.questions += questions
        columns.notes += notes

    def _answers_for(self, block: Block, *, alone: bool) -> dict[str, str]:
        """Return the answers about headings; those of another block or file do not concern it."""
        return {
            theirs: ours
            for theirs, ours in self.said.columns.items()
            if (alone and theirs not in self.said.remembered) or called(block.headings, theirs)
        }

    def _ask_without_headings(self, blocks: list[Block], why: str = "") -> None:
        block = blocks[0]
        first = ", ".join(
            f"{n + 1}: {quoted(column.cell(0), 30)}" for n, column in enumerate(block.columns)
        )
        self.questions.append(
            f"{why}which column is what? The first row holds {first}. Answer with "
            "--column '1=number' --column '2=description' and so on"
        )

    def _lacking(self) -> list[str]:
        """Return, for each block that cannot be of the table, what it lacks."""
        found = []
        for part in self.parts:
            fields = set(part.columns.fields)
            sizes = bool(part.columns.size_columns) or part.columns.size is not None
            required = [f.name for f in table_schema(self.table).fields if f.required]
            if self.table in ("stock", "wanted") and ("description" in fields or sizes):
                required = [name for name in required if name != "number"]
            missing = [name for name in required if name not in fields]
            if missing:
                found.append(" and ".join(name.replace("_", " ") for name in missing))
        return found

    def _wrong_table(self, missing: str) -> Reading:
        headings = ", ".join(repr(shown(h, 40)) for h in self.parts[0].block.headings if h)
        refusal = refused(
            f"This is no {self.table} table: no column is the {missing}. The headings are "
            f"{headings}. Say which column it is with --column 'THEIR HEADING={missing}', or "
            "which table it is with --table.",
            self.said,
            self.grids.encoding,
        )
        refusal.headings = [h for h in self.parts[0].block.headings if h]
        return refusal

    def _kinds(self) -> None:
        if not table_schema(self.table).with_kinds:
            for part in self.parts:
                part.alike = alike(part.block, part.columns, part.kinds)
            return
        unknown, total = 0, 0
        for part in self.parts:
            part.kind_rows, part.kind_codes = kindrows.row_kinds(
                part.block,
                part.columns,
                self.said.fresh("kind"),
                self._context(part.block),
                self.said.kind,
            )
            part.alike = alike(part.block, part.columns, part.kinds)
            sized = self._has_sizes(part)
            total += int(sized.sum())
            unknown += int((sized & part.kinds.absent()).sum())
        if unknown and unknown > units.FEW * total:
            choices = kindrows.fitting_kinds(self.parts[0].columns) or ["shaft_seal", "other"]
            self.questions.append(
                "which kind of part are the rows with sizes: "
                f"{', '.join(choices)}? Answer with --kind {choices[0]} (or another)"
            )

    def _context(self, block: Block) -> str:
        layout = next(one for records, one in self.layouts if records is block.records)
        # Words above the first headings say nothing of a block with headings of its own.
        own = block.headings != layout.blocks[0].headings
        return ", ".join([block.records.name or "", *([] if own else layout.above[:20])])

    def _has_sizes(self, part: Part) -> NDArray[np.bool_]:
        import numpy as np

        filled = np.zeros(len(part.block.at), dtype=bool)
        indices = [*part.columns.size_columns]
        if part.columns.size is not None:
            indices.append(part.columns.size)
        for index in indices:
            filled |= part.block.columns[index].filled
        return filled

    def _finish(self) -> Reading:
        from xref.tables.finish import finish

        return finish(self)

    def _asked(self) -> Reading:
        """Return a reading that only asks; what was recognised so far is shown."""
        reading = Reading(rows=empty_rows(), set_aside=empty_set_aside())
        self.fill(reading)
        reading.message = "Questions must be answered first."
        return reading

    def fill(self, reading: Reading) -> None:
        """Set what a reading says beside its rows."""
        reading.table = self.table or None
        reading.kind = self._one_kind()
        reading.questions = self.questions
        reading.unit = self.unit
        reading.encoding = self.grids.encoding
        reading.format = self.grids.format
        reading.currency = self.said.currency
        reading.notes = self.notes
        for part in self.parts:
            occurring = self._occurring(part)
            for index in part.columns.used:
                meaning = meaning_of(part.columns, index, occurring)
                if meaning:
                    reading.columns.setdefault(label(part.block.headings, index), meaning)
        reading.headings = [h for part in self.parts[:1] for h in part.block.headings if h]
        stated = self.grids.dialect.first_line - 1 if self.grids.dialect else 0  # `sep=;`
        reading.furniture = stated + sum(len(layout.furniture) for _, layout in self.layouts)
        reading.furniture_rows = [
            {"at": records.places([row])[0], "cells": records.cells(row), "what": what}
            for records, layout in self.layouts
            for row, what in layout.furniture[:FURNITURE_SHOWN]
        ]
        reading.profile = self._profile(reading)

    def _occurring(self, part: Part) -> set[str]:
        """Return the kinds that occur in a block, or all while none is known."""
        return set(present(part.kinds.values)) or set(kinds())

    def _one_kind(self) -> str | None:
        found = {kind for part in self.parts for kind in present(part.kinds.values)}
        if any(part.kinds.absent().any() for part in self.parts):
            return None
        return found.pop() if len(found) == 1 else None

    def _profile(self, reading: Reading) -> dict[str, Any]:
        said = {name: getattr(self.said, name) for name in REMEMBERED}
        said["table"] = self.table
        said["seen"] = memory.seen(reading.headings, reading.columns)
        return {name: value for name, value in said.items() if value}
