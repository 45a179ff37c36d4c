"""Beyond a table nothing is extrapolated: each check names the table and where it ends.

Every table a judge looks into is asked at its last size, which is covered, and just above it,
which is not; the seat zones of bearings at both ends of what they hold for each duty. The ends
are those of the tables in the program, which other tests hold against the collected figures.
"""

from __future__ import annotations

from typing import Any

import pytest
from kind_cases import need, part

from xref.fits.bearings import FAMILIES, LOADS, ROTATING
from xref.fits.steps import read_rows, step_table_for
from xref.kinds.base import INCH, METRIC
from xref.kinds.spec import spec
from xref.matching.judging import describe, judge_of

ABOVE = 0.001  # [mm]
ISO_286_MM = 500.0  # ISO 286-2 as far as it is in the program


def told(kind: str, the_need: Any, offered: Any, name: str) -> dict[str, Any]:
    """Return one check of a judged pair as it is told to people."""
    judged = judge_of(kind).judge(the_need, offered)
    (found,) = [c for c in describe(judged, 0)["checks"] if c["name"] == name]
    return found


def seal(d: float, bore: float, width: float = 10.0, *, inch: bool = False) -> tuple[Any, Any]:
    """Return a seal and the place it would sit in, by name where it can be."""
    place = {"shaft": f"{d:.4f}mm", "housing": f"{bore:.4f}mm", "depth": f"{width + 2:.3f}mm"}
    sizes = {"shaft_diameter": d, "outside_diameter": bore, "width": width}
    offered = part("shaft_seal", case="metal", **sizes)
    offered.system[:] = INCH if inch else METRIC
    return need("shaft_seal", place=place), offered


def bush(d: float, outside: float, length: float = 30.0, **more: Any) -> tuple[Any, Any]:
    """Return a bush and its place."""
    place = {"shaft": f"{d * 0.999:.4f}mm", "housing": f"{outside:.4f}mm", "depth": f"{length}mm"}
    sizes = {"bore_diameter": d, "outside_diameter": outside, "length": length}
    more.setdefault("material", "bronze")
    return need("plain_bushing", place=place), part("plain_bushing", **sizes, **more)


def named_bush(d: float) -> tuple[Any, Any]:
    """Return a bush for one known by name only."""
    old = {"bore_diameter": f"{d}mm", "outside_diameter": "520mm", "length": "30mm"}
    sizes = {"bore_diameter": d, "outside_diameter": 520.0, "length": 30.0}
    return need("plain_bushing", part=old), part("plain_bushing", **sizes, material="bronze")


def blank(d: float, outside: float) -> tuple[Any, Any]:
    """Return a blank large enough for a bush of this bore and outside."""
    sizes = {"bore_diameter": d - 5, "outside_diameter": outside + 5, "length": 60.0}
    return bush(d, outside)[0], part("bushing_blank", **sizes, material="bronze")


def ring(section: float, gland: str, motion: str) -> tuple[Any, Any]:
    """Return a ring in a groove that squeezes it by a fifth."""
    deep, inside = 0.8 * section, 90.0
    if gland == "piston":
        groove, mating = inside * 1.02, inside * 1.02 + 2 * deep
    else:
        groove, mating = inside + 2 * section, inside + 2 * section - 2 * deep
    place = {
        "groove_diameter": f"{groove:.4f}mm",
        "mating_diameter": f"{mating:.4f}mm",
        "groove_width": f"{1.4 * section:.4f}mm",
    }
    asked = need("o_ring", place=place, service={"gland": gland, "motion": motion})
    return asked, part("o_ring", inside_diameter=inside, cross_section=section)


def reach(file: str, column: str, item: str) -> float:
    """Return the end of a stepped table [mm]."""
    return step_table_for(file, column, item).reach_mm


INCH_SHAFT = reach("seal_inch_shaft_and_bore.csv", "upper_mm", "shaft")
INCH_BORE = reach("seal_inch_shaft_and_bore.csv", "upper_mm", "bore")
WRAPPED = reach("wrapped_bush_outside.csv", "upper_mm", "wrapped")
SECTION = reach("o_ring_section.csv", "tolerance_mm", "section")
WIDTH = {item: reach("seal_width.csv", "upper_mm", item) for item in ("metric", "inch")}
ENDS = [
    ("shaft_seal", lambda x: seal(x, 560), "shaft", "ISO 6194-1 with ISO 286-2", ISO_286_MM),
    ("shaft_seal", lambda x: seal(450, x), "housing", "ISO 6194-1 with ISO 286-2", ISO_286_MM),
    ("shaft_seal", lambda x: seal(x, x + 60, inch=True), "shaft", "RMA/ARPM OS-4", INCH_SHAFT),
    ("shaft_seal", lambda x: seal(x - 60, x, inch=True), "housing", "RMA/ARPM OS-4", INCH_BORE),
    ("shaft_seal", lambda x: seal(60, 80, x), "width", "ISO 6194-1", WIDTH["metric"]),
    ("shaft_seal", lambda x: seal(60, 80, x, inch=True), "width", "RMA/ARPM OS-4", WIDTH["inch"]),
    ("plain_bushing", lambda x: bush(450, x), "press", "ISO 286-2", ISO_286_MM),
    (
        "plain_bushing",
        lambda x: bush(450, x, material="porous bronze"),
        "press",
        "ISO 2795",
        ISO_286_MM,
    ),
    (
        "plain_bushing",
        lambda x: bush(x - 9, x, material="steel-backed"),
        "press",
        "ISO 3547-1",
        WRAPPED,
    ),
    ("plain_bushing", lambda x: bush(x, x + 20), "clearance", "ISO 286-2", ISO_286_MM),
    ("plain_bushing", named_bush, "bore", "ISO 286-2", ISO_286_MM),
    ("plain_bushing", lambda x: bush(60, 75, x), "length", "ISO 286-2", ISO_286_MM),
    ("bushing_blank", lambda x: blank(450, x), "stock outside", "ISO 286-2", ISO_286_MM),
    ("bushing_blank", lambda x: blank(450, x), "press", "ISO 286-2", ISO_286_MM),
    ("bushing_blank", lambda x: blank(x / 0.999, 520), "stock inside", "ISO 286-2", ISO_286_MM),
    ("bushing_blank", lambda x: blank(x / 0.999, 520), "wall left", "ISO 286-2", ISO_286_MM),
    ("bushing_blank", lambda x: blank(x / 0.999, 520), "clearance", "ISO 286-2", ISO_286_MM),
    ("o_ring", lambda x: ring(x, "piston", "static"), "squeeze", "Mechanical Eng", SECTION),
    ("o_ring", lambda x: ring(x, "face", "static"), "squeeze", "Mechanical Eng", SECTION),
    ("o_ring", lambda x: ring(x, "rod", "dynamic"), "squeeze", "Mechanical Eng", SECTION),
    ("o_ring", lambda x: ring(x, "rod", "static"), "stretch", "ISO 3601-1", SECTION),
    ("o_ring", lambda x: ring(x, "piston", "static"), "fill", "ISO 3601-1", SECTION),
]


@pytest.mark.parametrize(
    ("kind", "pair", "name", "table", "end"), ENDS, ids=lambda v: v if isinstance(v, str) else None
)
def test_a_table_holds_to_its_end_and_says_so_beyond(
    kind: str, pair: Any, name: str, table: str, end: float
) -> None:
    """At the last size the check is made; above it, it names the table and the size it ends at."""
    assert told(kind, *pair(end), name)["result"] != "not checked"
    beyond = told(kind, *pair(end + ABOVE), name)
    assert beyond["result"] == "not checked"
    assert beyond["missing"].startswith(f"not covered by {table}")
    assert beyond["missing"].endswith(f" above {end:g} mm")


@pytest.mark.parametrize(
    ("kind", "pair", "name"),
    [
        ("shaft_seal", lambda: seal(0.5, 8, 1.0), "shaft"),
        ("shaft_seal", lambda: seal(0.5, 2, 0.5), "housing"),
        ("shaft_seal", lambda: seal(0.5, 2, 0.1), "width"),
        ("plain_bushing", lambda: bush(0.5, 2.0, 0.5), "press"),
        ("plain_bushing", lambda: bush(0.5, 2.0, 0.5), "clearance"),
        ("plain_bushing", lambda: bush(0.5, 2.0, 0.5), "length"),
        ("o_ring", lambda: ring(0.5, "rod", "static"), "squeeze"),
        ("o_ring", lambda: ring(0.5, "piston", "static"), "fill"),
    ],
)
def test_tables_from_nothing_on_cover_the_smallest_parts(kind: str, pair: Any, name: str) -> None:
    """The first range of ISO 286-2 is 0 to 3 mm; the others here begin above 0 as well."""
    assert told(kind, *pair(), name)["result"] != "not checked"


def bearing(seat: str, size: float, roller: bool, rotating: str, load: str) -> dict[str, Any]:
    """Return how the seat of a bearing of this size is told, measured on its nominal size."""
    other = size + 100 if seat == "shaft" else size - 100
    bore, outside = (size, other) if seat == "shaft" else (other, size)
    word = "cylindrical roller" if roller else "deep groove ball"
    offered = part(
        "rolling_bearing",
        bore_diameter=bore,
        outside_diameter=outside,
        width=20.0,
        bearing_type=word,
    )
    asked = need(
        "rolling_bearing",
        place={seat: f"{size}mm"},
        uncertainty="0.0001mm",
        service={"rotating": rotating, "load": load},
    )
    return told("rolling_bearing", asked, offered, seat)


ROWS = read_rows("bearing_seat_zones.csv")
DUTIES = [
    (seat, family, rotating, load)
    for seat in ("shaft", "housing")
    for family in FAMILIES
    for rotating in ROTATING
    for load in LOADS
]


@pytest.mark.parametrize(("seat", "family", "rotating", "load"), DUTIES)
def test_seat_zones_at_both_ends_of_each_duty(
    seat: str, family: str, rotating: str, load: str
) -> None:
    """Covered from just above the first size to the last; outside, the sentence says where not."""
    wanted = {"seat": seat, "family": family, "rotating": rotating, "load": load}
    rows = [row for row in ROWS if all(row[k] == v for k, v in wanted.items())]
    roller = family == "roller"
    if not rows:
        found = bearing(seat, 60.0, roller, rotating, load)
        assert found["result"] == "not checked"
        assert found["missing"].startswith("not covered by ANSI/ABMA Std 7")
        assert f"no row for a {family} bearing under {load} load" in found["missing"]
        return
    over, end = min(float(r["over_mm"]) for r in rows), max(float(r["to_mm"]) for r in rows)
    low = max(over, 110.0 if seat == "housing" else 0.0) + 0.5
    for size in (low, end):
        assert bearing(seat, size, roller, rotating, load)["result"] != "not checked"
    beyond = bearing(seat, end + ABOVE, roller, rotating, load)
    assert beyond["result"] == "not checked"
    assert f" above {end:g} mm for a {family} bearing under {load} load" in beyond["missing"]
    if over:
        below = bearing(seat, over, roller, rotating, load)
        assert below["result"] == "not checked"
        assert f" up to {over:g} mm for a {family} bearing" in below["missing"]


def test_only_a_heavy_load_on_a_turning_ball_bearing_has_no_seat_zone() -> None:
    """The pattern of ANSI/ABMA Std 7 and DIN 5425-1 (from memory) gives heavy loads to rollers."""
    held = {(r["seat"], r["family"], r["rotating"], r["load"]) for r in ROWS}
    assert [duty for duty in DUTIES if duty not in held] == [("shaft", "ball", "inner", "heavy")]


@pytest.mark.parametrize(
    ("kind", "trait", "service", "name"),
    [
        ("plain_bushing", "material", {"load_n": 100.0}, "pressure"),
        ("plain_bushing", "material", {"load_n": 100.0, "rpm": 100.0}, "pressure x speed"),
        ("o_ring", "material", {"temperature": 20.0}, "temperature"),
        ("o_ring", "material", {"medium": "mineral oil"}, "medium"),
        ("shaft_seal", "lip_material", {"temperature": 20.0}, "temperature"),
        ("shaft_seal", "lip_material", {"rpm": 100.0}, "speed"),
        ("shaft_seal", "lip_material", {"medium": "steam"}, "medium"),
    ],
)
def test_a_material_without_a_row_is_named(
    kind: str, trait: str, service: dict[str, Any], name: str
) -> None:
    """Each stated material is checked, or the sentence says that the table has no row for it."""
    sizes = {"plain_bushing": (20.0, 26.0, 20.0), "shaft_seal": (60.0, 80.0, 8.0)}
    order = spec(kind).written_order
    offered = dict(zip(order, sizes.get(kind, (24.99, 3.53)), strict=True))
    old = {one: f"{value}mm" for one, value in offered.items()}
    open_words = []
    for word in (*spec(kind).trait(trait).words, None):
        made = part(kind, **offered, **({} if word is None else {trait: word}))
        found = told(kind, need(kind, part=old, service=service), made, name)
        if found["result"] == "not checked":
            open_words.append(word)
            said = f"no row for {word}" if word else "not known: "
            assert said in found["missing"], (word, found)
    assert None in open_words  # a material nobody stated is never checked
