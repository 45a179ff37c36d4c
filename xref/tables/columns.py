"""Which column is which field: headings, the user's answers, and what competes for one field."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial

from xref.kinds.spec import kinds, spec
from xref.tables.heading import Heading, parse
from xref.tables.heading_answers import label, said_columns
from xref.tables.names import CLOSE, EXACT, GENERAL, LESSER, Meaning, Target, meanings
from xref.tables.number_columns import NUMBER, CellTests, by_cells, of_several, stock_or_state
from xref.tables.schema import table_schema
from xref.tables.shaft_and_bore import bore_is_outside
from xref.tables.text import fold, quoted, shown


@dataclass(slots=True)
class Columns:
    """The meaning of each column of one block.

    `fields` maps a field of the table to its columns (several only where the field may repeat);
    `sizes[kind][dimension]` and `traits[kind][trait]` list columns, best first; `size` is the
    column that holds all sizes together, `more_sizes` those that do so in another unit.
    `own_names` counts, for each kind, the headings that are its own names of dimensions. `kept`
    are the columns that go to `extra`, `counting` those that only count the rows.
    """

    headings: list[Heading]
    fields: dict[str, list[int]] = field(default_factory=dict)
    sizes: dict[str, dict[str, list[int]]] = field(default_factory=dict)
    traits: dict[str, dict[str, list[int]]] = field(default_factory=dict)
    size: int | None = None
    more_sizes: list[int] = field(default_factory=list)
    size_columns: list[int] = field(default_factory=list)
    kept: list[int] = field(default_factory=list)
    counting: list[int] = field(default_factory=list)
    used: list[int] = field(default_factory=list)
    questions: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    own_names: dict[str, int] = field(default_factory=dict)

    def first(self, name: str) -> int | None:
        """Return the (first) column of a field, or None."""
        found = self.fields.get(name)
        return found[0] if found else None


def assign(
    headings: Sequence[str],
    table: str,
    answers: Mapping[str, str],
    cells: CellTests,
    remembered: Collection[str] = (),
) -> Columns:
    """Give each column its field in `table`.

    `answers` maps headings (or `column 3`) to fields, as the user said; those in `remembered` were
    said of an earlier list, and the cells of this one may contradict them. Raises Impossible for an
    answer that names no heading or no field.
    """
    columns = Columns([parse(heading) for heading in headings])
    said = said_columns(headings, table, answers)
    candidates: dict[int, tuple[Meaning, ...]] = {}
    for index, heading in enumerate(headings):
        if index not in said and heading.strip():
            meant = _fitting(heading, index, table, cells)
            candidates[index] = stock_or_state(meant, partial(cells.counts, index))
    before = {theirs: ours for theirs, ours in answers.items() if theirs in remembered}
    known = {i: m for i, m in said_columns(headings, table, before).items() if m is not None}
    fresh = [meant for index, meant in said.items() if index not in known and meant is not None]
    if not any(meaning.target == NUMBER for meant in fresh for meaning in meant):
        needed = table not in ("stock", "wanted")
        found = by_cells(headings, candidates | known, cells, needed=needed)
        candidates, columns.counting = found.candidates, found.counting
        columns.notes += found.notes
        known = {index: meant for index, meant in known.items() if index not in found.counting}
    candidates |= known
    candidates |= {i: m for i, m in said.items() if m is not None and i not in columns.counting}
    _assign_fields(columns, headings, table, candidates)
    _assign_sizes(columns, headings, candidates)
    _assign_traits(columns, candidates)
    used = _used(columns)
    dropped = {index for index, meant in said.items() if meant is None}
    columns.kept = [
        index for index in range(len(headings)) if index not in used and index not in dropped
    ]
    columns.used = sorted(used)
    return columns


def _fitting(heading: str, index: int, table: str, cells: CellTests) -> tuple[Meaning, ...]:
    """Drop meanings that the cells contradict: a `Type` column that names no kinds of part."""
    found = []
    holds = {"kind": cells.kinds, "written_unit": cells.units, "relation": cells.relations}
    for meaning in meanings(heading, table):
        test = holds.get(meaning.target.name) if meaning.target.role == "field" else None
        if test is None:
            found.append(meaning)
        elif test(index):
            # The cells prove it, whatever else the heading may mean.
            found.append(Meaning(meaning.target, EXACT + 1))
        elif meaning.score >= EXACT and meaning.target.name != "written_unit":
            found.append(meaning)
    return tuple(found)


def _assign_fields(
    columns: Columns,
    headings: Sequence[str],
    table: str,
    candidates: dict[int, tuple[Meaning, ...]],
) -> None:
    claims: dict[str, list[tuple[int, int]]] = {}
    sure: set[str] = set()
    surest = sorted(candidates.items(), key=lambda one: len(_level_fields(one[1])) > 1)
    for index, found in surest:
        best = _best_field(found)
        if best is not None:
            level = _level_fields(found)
            if len(level) > 1:  # `Price unit` beside `Price` is what the prices are for
                level = [name for name in level if name not in sure] or level
            else:
                sure.add(level[0])
            claims.setdefault(level[0], []).append((best.score, index))
    for name, claimed in claims.items():
        _settle(columns, headings, table, name, claimed, candidates)
    _fill_with_lesser(columns, headings, candidates)
    for name in ("quantity", "price"):
        if name in columns.fields or not table_schema(table).field(name):
            continue
        taken, questions = of_several(headings, table, candidates, name)
        columns.questions += questions
        if taken:
            columns.fields[name] = taken
            columns.notes.append(f"{quoted(label(headings, taken[0]))} was read as the {name}")


def _level_fields(found: tuple[Meaning, ...]) -> list[str]:
    """Return the fields a heading names equally well, its first meaning first."""
    fields = [m for m in found if m.target.role == "field" and m.score != LESSER]
    return [m.target.name for m in fields if m.score == fields[0].score]


def _best_field(found: tuple[Meaning, ...]) -> Meaning | None:
    """Return the field a heading surely means, unless a size or a property is named better."""
    fields = [m for m in found if m.target.role == "field" and m.score != LESSER]
    if not fields:
        return None
    best = fields[0]
    rivals = [m for m in found if m.target.role != "field" and m.score >= best.score]
    if any(m.target.role in ("dimension", "size", "kept") for m in rivals):
        return None
    return best


def _settle(
    columns: Columns,
    headings: Sequence[str],
    table: str,
    name: str,
    claimed: list[tuple[int, int]],
    candidates: dict[int, tuple[Meaning, ...]],
) -> None:
    claimed = sorted(claimed, key=lambda claim: (-claim[0], claim[1]))
    top = [index for score, index in claimed if score == claimed[0][0]]
    schema_field = table_schema(table).field(name)
    if schema_field is not None and schema_field.repeatable:
        columns.fields[name] = sorted(index for _, index in claimed)
        return
    if len(top) > 1 and claimed[0][0] >= EXACT:
        top = _own_name_first(headings, top, name)
    columns.fields[name] = [top[0]]
    names = " or ".join(repr(shown(label(headings, index))) for index in top)
    if len(top) > 1:
        title = (schema_field.title if schema_field else name).lower()
        columns.questions.append(
            f"which column is the {title}: {names}? Answer with "
            f"--column '{label(headings, top[0])}={name}'"
        )
    for score, index in claimed:
        if index not in top:
            candidates[index] = ()
            columns.notes.append(
                f"{quoted(label(headings, index))} could be the {name} too; "
                f"{quoted(label(headings, top[0]))} was taken"
            )
        elif score == CLOSE:
            columns.notes.append(
                f"heading {quoted(label(headings, index))} was read as {name}, a close spelling"
            )


def _own_name_first(headings: Sequence[str], top: list[int], name: str) -> list[int]:
    """Of several columns with known names prefer the one that bears our own name, if one does.

    Only for what names a part: of two numbers one may be headed `Number`. Two quantities or two
    prices are always asked about.
    """
    if name in ("quantity", "price"):
        return top
    own = [index for index in top if fold(headings[index]) == fold(name)]
    return own if len(own) == 1 else top


def _fill_with_lesser(
    columns: Columns, headings: Sequence[str], candidates: dict[int, tuple[Meaning, ...]]
) -> None:
    """Give fields that no column names well to columns that may mean them."""
    used = {index for found in columns.fields.values() for index in found}
    order = ("kind", "number", "description", "condition", "relation")
    for name in order:
        if name in columns.fields:
            continue
        rivals = [
            index
            for index, found in candidates.items()
            if index not in used
            and any(m.target == Target("field", name) and m.score == LESSER for m in found)
            and not any(m.target.role in ("size", "dimension") for m in found)
            and not any(m.target.role in ("trait", "kept") and m.score >= EXACT for m in found)
        ]
        if name == "number" and len(rivals) > 1:
            names = " or ".join(repr(shown(label(headings, index))) for index in rivals)
            columns.questions.append(
                f"which column is the part number: {names}? Answer with "
                f"--column '{label(headings, rivals[0])}=number'"
            )
        if not rivals and name == "number":
            rivals = _better_as_number(columns, candidates)
        if rivals:
            columns.fields[name] = [rivals[0]]
            used.add(rivals[0])


def _better_as_number(columns: Columns, candidates: dict[int, tuple[Meaning, ...]]) -> list[int]:
    """Take the description column for the number where it may be one and nothing else is.

    `Designation` is what bearings are numbered by; in French it is the description.
    """
    found = columns.fields.get("description", [])
    meant = Target("field", "number")
    if found and any(m.target == meant for m in candidates.get(found[0], ())):
        del columns.fields["description"]
        return [found[0]]
    return []


def _assign_sizes(
    columns: Columns, headings: Sequence[str], candidates: dict[int, tuple[Meaning, ...]]
) -> None:
    used = {index for found in columns.fields.values() for index in found}
    general = {field.name: field.serves_for for field in table_schema("sizes").fields}
    by_column: dict[int, dict[str, dict[str, int]]] = {}
    for index, found in candidates.items():
        if index in used or not _is_size(found):
            continue
        if any(m.target == Target("size", "size") for m in found):
            if columns.size is None:
                columns.size = index
            elif _other_unit(columns, index):
                columns.more_sizes.append(index)
            continue
        columns.size_columns.append(index)
        named = by_column.setdefault(index, {})
        for meaning in found:
            target, score = meaning.target, meaning.score
            if target.role == "dimension":
                dims = named.setdefault(target.kind, {})
                dims[target.name] = max(score, dims.get(target.name, 0))
                if score >= EXACT:
                    columns.own_names[target.kind] = columns.own_names.get(target.kind, 0) + 1
            elif target.role == "size":
                for kind in kinds():
                    for rank, name in enumerate(general[target.name]):
                        if name in spec(kind).dimension_names:
                            dims = named.setdefault(kind, {})
                            dims[name] = max(score - 1 - rank, dims.get(name, 0))
    for kind in kinds():
        either = {
            index
            for index, found in candidates.items()
            if any(m.target.role == "trait" and m.target.kind == kind for m in found)
        }
        columns.sizes[kind] = _dimension_columns(kind, by_column, either, headings)
    placed = {
        index for dims in columns.sizes.values() for found in dims.values() for index in found
    }
    columns.size_columns = [index for index in columns.size_columns if index in placed]
    for index in columns.size_columns:
        if candidates[index][0].score == CLOSE:
            columns.notes.append(
                f"heading {quoted(label(headings, index))} was read as a size, a close spelling"
            )


def _other_unit(columns: Columns, index: int) -> bool:
    """Whether a further column of all sizes is in a unit that the first one is not in."""
    assert columns.size is not None  # noqa: S101 - the caller has just seen it
    first, other = columns.headings[columns.size].unit, columns.headings[index].unit
    return other in ("mm", "in") and first != other


def _is_size(found: tuple[Meaning, ...]) -> bool:
    if not found:
        return False
    roles = {m.target.role for m in found if m.score == found[0].score}
    return bool(roles & {"size", "dimension"}) and "field" not in roles


def _dimension_columns(
    kind: str,
    by_column: Mapping[int, Mapping[str, Mapping[str, int]]],
    either: set[int],
    headings: Sequence[str],
) -> dict[str, list[int]]:
    """Give each column to one dimension of the kind: the best named, then one still without.

    A column in `either` may be a property of the kind instead (a bearing's `C` beside its `B`):
    it becomes no second column of a dimension.
    """
    order = list(spec(kind).dimension_names)
    taken: dict[str, list[tuple[int, int]]] = {}
    claims = [(index, dict(named[kind])) for index, named in by_column.items() if named.get(kind)]
    for index, dims in sorted(claims, key=lambda claim: (-max(claim[1].values()), claim[0])):
        name = max(dims, key=lambda n: (dims[n], n not in taken, -order.index(n)))
        if name in taken and index in either:
            continue
        taken.setdefault(name, []).append((dims[name], index))
    bore_is_outside(taken, headings)
    return {
        name: [index for _, index in sorted(found, key=lambda f: (-f[0], f[1]))]
        for name, found in taken.items()
    }


def _assign_traits(columns: Columns, candidates: dict[int, tuple[Meaning, ...]]) -> None:
    used = _used(columns)
    for index, found in candidates.items():
        owners = {m.target.kind for m in found if m.target.role == "trait"}
        if len(owners) == 1 and index not in used:
            (owner,) = owners
            columns.own_names[owner] = columns.own_names.get(owner, 0) + 1
        for meaning in found:
            target = meaning.target
            if target.role != "trait":
                continue
            if index in used and not (meaning.score >= GENERAL and index in columns.size_columns):
                continue
            listed = columns.traits.setdefault(target.kind, {}).setdefault(target.name, [])
            listed.append(index)
    for kind, traits in columns.traits.items():
        for name, listed in traits.items():
            listed.sort(key=lambda i: -_score(candidates[i], Target("trait", name, kind)))
        # A column that is a size of this kind is no trait of it, unless only the trait is left.
        in_sizes = {i for found in columns.sizes.get(kind, {}).values() for i in found}
        for name in list(traits):
            traits[name] = [i for i in traits[name] if i not in in_sizes]
            if not traits[name]:
                del traits[name]


def _score(found: tuple[Meaning, ...], target: Target) -> int:
    return next((m.score for m in found if m.target == target), 0)


def _used(columns: Columns) -> set[int]:
    used = {index for found in columns.fields.values() for index in found}
    used |= set(columns.size_columns)
    used |= {i for traits in columns.traits.values() for found in traits.values() for i in found}
    used |= set(columns.more_sizes)
    if columns.size is not None:
        used.add(columns.size)
    return used


def meaning_of(columns: Columns, index: int, occurring: set[str]) -> str:
    """Return the field a column feeds; a size or property by its names in the kinds that occur.

    A column that is only second choice for one dimension and first for another is shown by the
    other.
    """
    for name, found in columns.fields.items():
        if index in found:
            return name
    if index == columns.size or index in columns.more_sizes:
        return "size"
    first: dict[str, None] = {}
    second: dict[str, None] = {}
    for group in (columns.sizes, columns.traits):
        for kind, by_name in group.items():
            if kind not in occurring:
                continue
            for name, found in by_name.items():
                if index in found:
                    (first if found[0] == index else second)[name] = None
    return " / ".join(first or second)
