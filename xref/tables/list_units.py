"""The unit of a list's sizes, settled over all its blocks, or the question to ask."""

from __future__ import annotations

from typing import TYPE_CHECKING

from xref.tables import units
from xref.tables.cells.dimension import decide_decimal
from xref.tables.heading import unit_of
from xref.tables.size_together import read_size_column
from xref.tables.sizecells import UNIT_CODE, read_sizes
from xref.tables.sizing import gather
from xref.tables.text import quoted, shown

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from xref.tables.alike import Alike
    from xref.tables.work import Work


def settle_units(work: Work) -> None:
    """Read size cells and decide the unit of those without one, or add the question to ask."""
    texts = [
        text
        for part in work.parts
        for index in part.columns.size_columns
        for text in part.block.columns[index].texts
    ]
    sign = work.said.sign(decide_decimal(texts))
    evidence = units.Evidence()
    for part in work.parts:
        for index in part.columns.size_columns:
            part.alike.cells[index] = read_sizes(part.alike.block.columns[index], sign)
            unit = part.columns.headings[index].unit
            part.alike.heading_units[index] = unit if unit in ("mm", "in") else None
            if unit and unit not in ("mm", "in"):
                work.questions.append(
                    f"sizes in {unit} are not read: send {quoted(part.block.headings[index])} "
                    "in mm or inches, or leave it out with "
                    f"--column '{part.block.headings[index]}=ignore'"
                )
        part.alike.row_unit = _row_units(part.alike)
        gather(evidence, part.alike)
    above = [text for _, layout in work.layouts for text in (*layout.above, *layout.lines)]
    decision = units.decide(
        evidence,
        declared=work.said.fresh("unit"),
        stated=units.stated_in(above),
        before=work.said.unit,
    )
    if decision.question and evidence.bare:
        work.questions.append(decision.question)
    elif decision.note and evidence.bare:
        work.notes.append(decision.note)
    work.unit = decision.unit or _shown_unit(work, evidence)
    work.decided_unit = decision.unit
    _size_columns_ask(work)


def _row_units(part: Alike) -> NDArray[np.int8] | None:
    import numpy as np

    index = part.columns.first("written_unit")
    if index is None:
        return None
    column = part.block.columns[index]
    codes = [UNIT_CODE.get(unit_of(text.strip(" .")), 0) for text in column.texts]
    return np.array(codes, dtype=np.int8)[column.codes]


def _shown_unit(work: Work, evidence: units.Evidence) -> str | None:
    """Return the unit all sizes are in where none had to be decided."""
    stated = {
        unit
        for part in work.parts
        for index, unit in part.alike.heading_units.items()
        if unit and part.block.columns[index].filled.any()
    }
    if len(stated) == 1:
        return stated.pop()
    stated |= {"in"} if evidence.inch else set()
    stated |= {"mm"} if evidence.mm else set()
    for part in work.parts:
        if part.columns.size is not None:
            unit = part.columns.headings[part.columns.size].unit
            stated |= {unit} if unit in ("mm", "in") else set()
    return stated.pop() if len(stated) == 1 else None


def _size_columns_ask(work: Work) -> None:
    """Ask about a column of `2.375x3.125x0.5` as a whole: inches are never assumed."""
    unsettled, total, example = 0, 0, ""
    for part in work.parts:
        index = part.columns.size
        if index is None or part.columns.headings[index].unit or work.decided_unit:
            continue
        column = part.alike.block.columns[index]
        read = read_size_column(column, work.said.sign(decide_decimal(column.texts)))
        open_texts = [not cell.own and bool(cell.mm or cell.inch) for cell in read]
        import numpy as np

        mask = np.array(open_texts, dtype=bool)[column.codes]
        if part.alike.row_unit is not None:
            mask &= part.alike.row_unit == 0
        unsettled += int(part.alike.counts[mask].sum())
        total += int(part.alike.counts[column.filled].sum())
        if mask.any() and not example:
            example = shown(column.cell(int(np.argmax(mask))), 30)
    if unsettled and unsettled > units.FEW * total:
        work.questions.append(
            f"are sizes without a unit, such as {example}, in inches or in millimetres? "
            "Answer with --unit in or --unit mm"
        )
