"""Sections are to scale: coordinates in the drawing follow the sizes."""

from __future__ import annotations

import itertools
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drawings.svg_reader import Picture, box
from xref.faces.drawings.labels import GAP, spread
from xref.faces.drawings.section import PANEL, Misfit, Part, alone, misfits, side_by_side
from xref.faces.drawings.shapes import section

BUSH = {"bore_diameter": 25.0, "outside_diameter": 32.0, "length": 7.0}
RELATIVE = 0.02  # coordinates are written with two decimals


def _drawn(old: Part, new: Part, **more: object) -> Picture:
    text = side_by_side(old, new, "t", **more)  # type: ignore[arg-type]
    assert text is not None
    return Picture(text)


def test_both_parts_have_one_scale() -> None:
    """Wall and length of old and new stand in the proportion of their sizes, in one picture."""
    new = {"bore_diameter": 25.0, "outside_diameter": 35.0, "length": 6.5}
    picture = _drawn(Part("old", "plain_bushing", BUSH), Part("new", "plain_bushing", new))
    first, second = (box(points) for points in picture.polygons("-metal"))
    scale = (first[2] - first[0]) / 7.0
    assert first[3] - first[1] == pytest.approx(3.5 * scale, rel=RELATIVE)
    assert second[3] - second[1] == pytest.approx(5.0 * scale, rel=RELATIVE)
    assert second[2] - second[0] == pytest.approx(6.5 * scale, rel=RELATIVE)
    assert first[3] == second[3]  # equal bores stand at one level


def test_shaft_and_housing_stand_where_they_were_measured() -> None:
    """The machine's bodies end at the measured radii, in both pictures."""
    picture = _drawn(
        Part("old", "plain_bushing", BUSH),
        Part("new", "plain_bushing", BUSH),
        place={"shaft": [24.8, 25.0], "housing": [32.1, 32.3]},
    )
    part = box(picture.polygons("-metal")[0])
    scale = (part[2] - part[0]) / 7.0
    bodies = [box(points) for points in picture.polygons("-machine")]
    shaft, housing = bodies[0], bodies[1]
    assert shaft[1] - part[3] == pytest.approx(0.05 * scale, abs=0.02)  # 25.0 - 24.9, half
    assert part[1] - housing[3] == pytest.approx(0.1 * scale, abs=0.02)  # 32.2 - 32.0, half
    assert len(bodies) == 4


@given(
    bore=st.floats(5, 200),
    wall=st.floats(1, 30),
    length=st.floats(1, 300),
    wider=st.floats(0, 10),
)
def test_everything_stays_inside_the_picture(
    bore: float, wall: float, length: float, wider: float
) -> None:
    """Whatever the sizes, every corner lies inside the picture and in its own panel."""
    old = {"bore_diameter": bore, "outside_diameter": bore + 2 * wall, "length": length}
    new = {**old, "outside_diameter": bore + 2 * wall + wider, "length": length / 2}
    picture = _drawn(Part("old", "plain_bushing", old), Part("new", "plain_bushing", new))
    width, height = float(picture.root.attrib["width"]), float(picture.root.attrib["height"])
    for points in picture.polygons("-metal"):
        left, top, right, bottom = box(points)
        assert 0 <= left <= right <= width
        assert 0 <= top <= bottom <= height
        assert (right <= PANEL) or (left >= PANEL)


def test_a_long_part_is_drawn_broken_with_its_true_length() -> None:
    """A blank far longer than its wall is shortened by a break line and labelled in full."""
    blank = {"bore_diameter": 50.0, "outside_diameter": 75.0, "length": 150.0}
    picture = Picture(alone(Part("blank", "bushing_blank", blank), "t") or "")
    assert "150 mm" in picture.texts()
    left, top, right, bottom = box(picture.polygons("-metal")[0])
    assert right - left < 150 / 12.5 * (bottom - top)
    assert any(e.attrib["stroke-width"] == "2.2" for e in picture.all("polyline"))


def test_dimensions_are_in_the_unit_asked_for() -> None:
    """The same part is labelled in millimetres or in fractions of an inch."""
    seal = {"shaft_diameter": 60.325, "outside_diameter": 79.375, "width": 9.525}
    part = Part("seal", "shaft_seal", seal)
    assert {"⌀ 60.325 mm", "⌀ 79.375 mm", "9.525 mm"} <= set(
        Picture(alone(part, "t") or "").texts()
    )
    assert {"⌀ 2-3/8 in", "⌀ 3-1/8 in", "3/8 in"} <= set(
        Picture(alone(part, "t", unit="in") or "").texts()
    )


def test_a_misfit_is_marked_with_its_size() -> None:
    """A heavy bar stands between the two levels, its size beside it in the unit asked for."""
    old = {"shaft_diameter": 40.0, "outside_diameter": 60.0, "width": 10.0}
    new = {"shaft_diameter": 40.0, "outside_diameter": 64.0, "width": 10.0}
    marks = [Misfit("housing", 4.0, "housing")]
    parts = (Part("old", "shaft_seal", old), Part("new", "shaft_seal", new))
    picture = _drawn(*parts, marks=marks)
    assert "▲ 4 mm" in picture.texts()
    heavy = [(a, b) for a, b, width in picture.lines() if width == 3.5]
    cases = [box(points) for points in picture.polygons("-metal")]
    assert len(heavy) == 1
    (_, high), (_, low) = heavy[0]
    assert {round(high, 1), round(low, 1)} == {round(cases[1][1], 1), round(cases[0][1], 1)}
    assert "▲ 0.1575 in" in _drawn(*parts, marks=marks, unit="in").texts()
    assert "housing misses by 4 mm" in picture.description()


def test_misfits_are_the_checks_that_fail_or_are_doubtful() -> None:
    """What passes, or was not checked, is no misfit; what fails is one by its margin."""
    checks = [
        {"name": "shaft", "result": "fail", "margin_mm": -0.325},
        {"name": "housing", "result": "pass", "margin_mm": 0.01},
        {"name": "depth", "result": "doubtful", "margin_mm": -0.1},
        {"name": "clearance", "result": "not checked", "margin_mm": None},
        {"name": "speed", "result": "fail", "margin_mm": -2.0, "unit": "m/s"},
    ]
    assert misfits(checks) == [Misfit("shaft", 0.325, "shaft"), Misfit("width", 0.1, "depth")]


@pytest.mark.parametrize(
    ("kind", "sizes"),
    [
        ("shaft_seal", {"shaft_diameter": 60, "outside_diameter": 80, "width": 8}),
        ("rolling_bearing", {"bore_diameter": 25, "outside_diameter": 52, "width": 15}),
        ("plain_bushing", BUSH),
        ("o_ring", {"inside_diameter": 24.99, "cross_section": 3.53}),
        ("thrust_washer", {"inside_diameter": 26, "outside_diameter": 44, "thickness": 1.5}),
        ("shaft_sleeve", {"inside_diameter": 44.8, "outside_diameter": 45.2, "width": 12}),
        ("spacer_ring", {"inside_diameter": 50, "outside_diameter": 62, "thickness": 4}),
        ("bushing_blank", {"bore_diameter": 20, "outside_diameter": 40, "length": 60}),
    ],
)
def test_every_kind_with_sizes_has_a_section(kind: str, sizes: dict[str, float]) -> None:
    """The box of the section is the kind's inside, outside and width; shapes stay within it."""
    found = section(kind, sizes)
    assert found is not None
    values = list(sizes.values())
    assert found.inner == pytest.approx(values[0] / 2)
    if kind == "o_ring":
        assert found.outer == pytest.approx(values[0] / 2 + values[1])
        assert found.shapes[0].radius == pytest.approx(values[1] / 2)
        return
    assert found.outer == pytest.approx(values[1] / 2)
    assert found.width == pytest.approx(values[2])
    for shape in found.shapes:
        for x, y in shape.points:
            assert -1e-9 <= x <= values[2] + 1e-9
            assert found.inner - 1e-9 <= y <= found.outer + 1e-9


def test_a_flange_stands_out_of_the_bush() -> None:
    """A flanged bush's section reaches the flange's radius over the flange's thickness only."""
    flanged = {**BUSH, "flange_diameter": 40.0, "flange_thickness": 3.0}
    found = section("plain_bushing", flanged)
    assert found is not None
    assert found.outer == 20.0
    assert (3.0, 20.0) in found.shapes[0].points
    assert (3.0, 16.0) in found.shapes[0].points


@pytest.mark.parametrize(
    "sizes",
    [
        {},
        {"shaft_diameter": 60.0, "outside_diameter": 80.0},
        {"shaft_diameter": 80.0, "outside_diameter": 60.0, "width": 8.0},
        {"shaft_diameter": float("nan"), "outside_diameter": 60.0, "width": 8.0},
        {"shaft_diameter": 60.0, "outside_diameter": float("inf"), "width": 8.0},
    ],
)
def test_what_has_no_outline_is_not_drawn(sizes: dict[str, float]) -> None:
    """Missing or impossible sizes give no drawing instead of a wrong one."""
    assert section("shaft_seal", sizes) is None
    assert alone(Part("x", "shaft_seal", sizes), "t") is None


def test_without_an_old_part_the_place_is_drawn() -> None:
    """Where only the machine was measured its shaft is labelled with what was measured."""
    new = {"inside_diameter": 26.0, "outside_diameter": 44.0, "thickness": 1.5}
    picture = _drawn(
        Part("the place", "thrust_washer"),
        Part("W 26", "thrust_washer", new),
        place={"shaft": [25.9, 25.94]},
    )
    assert "⌀ 25.92 mm" in picture.texts()
    assert "place as measured: shaft 25.9 to 25.94 mm" in picture.description()


def test_text_is_escaped_and_nothing_is_told_by_colour() -> None:
    """Hostile labels are text, and the drawing knows one colour only: that of the page's text."""
    label = '<script>alert("x")</script>&'
    text = side_by_side(
        Part(label, "plain_bushing", BUSH), Part(label, "plain_bushing", BUSH), 'a"b'
    )
    assert text is not None
    assert "<script" not in text
    picture = Picture(text)
    assert any(t.startswith("<script>") for t in picture.texts())
    assert set(re.findall(r'stroke="([^"]*)"', text)) == {"currentColor"}
    fills = set(re.findall(r'fill="([^"]*)"', text))
    assert all(f in ("none", "currentColor") or f.startswith("url(#") for f in fills)
    assert "style=" not in text


GROOVE = {"groove_diameter": [20.0, 20.0], "groove_width": [4.8, 4.8]}


@pytest.mark.parametrize(("mating", "above"), [(25.0, True), (15.0, False)])
def test_an_o_ring_lies_in_its_groove(mating: float, above: bool) -> None:
    """The groove's bottom and what it seals against stand at their radii, on the side they are.

    A piston's groove is below the bore around it, a rod's above the rod; the ring of 18.64 by
    3.53 mm (AS568 dash 210) stands out of it by what it is squeezed.
    """
    ring = {"inside_diameter": 18.64, "cross_section": 3.53}
    picture = _drawn(
        Part("the place", "o_ring"),
        Part("R 210", "o_ring", ring),
        place={**GROOVE, "mating_diameter": [mating, mating]},
    )
    circle = picture.all("circle")[0]
    scale = float(circle.attrib["r"]) / (3.53 / 2)
    axis = float(circle.attrib["cy"]) + (18.64 / 2 + 3.53 / 2) * scale  # where radius 0 would be
    body, other = picture.polygons("-machine")[:2]
    floor = {round(axis - 10.0 * scale, 1)}
    assert floor <= {round(y, 1) for _, y in body}
    wall = axis - mating / 2 * scale
    assert round(wall, 1) in {round(y, 1) for _, y in other}
    farther = [y for _, y in other if round(y, 1) != round(wall, 1)]
    assert all((y < wall) == above for y in farther)
    widths = {round(x, 1) for x, y in body if round(y, 1) in floor}
    assert max(widths) - min(widths) == pytest.approx(4.8 * scale, abs=0.2)
    assert {"⌀ 20 mm", f"⌀ {mating:g} mm", "groove", "mating"} <= set(picture.texts())


def test_a_flange_is_labelled_beside_the_seat() -> None:
    """A flanged bush names flange, seat and bore; what misses in the housing is marked at it."""
    flanged = {**BUSH, "flange_diameter": 40.0, "flange_thickness": 3.0}
    wider = {**flanged, "outside_diameter": 33.0}
    picture = _drawn(
        Part("old", "plain_bushing", flanged),
        Part("new", "plain_bushing", wider),
        marks=[Misfit("housing", 1.0, "press")],
    )
    texts = picture.texts()
    assert {"⌀ 40 mm", "⌀ 32 mm", "⌀ 33 mm", "⌀ 25 mm", "3 mm flange", "▲ 1 mm"} <= set(texts)
    assert "outside diameter 1 mm larger than the old" in picture.description()


@pytest.mark.parametrize(
    ("traits", "shapes", "covers"),
    [({}, 3, 0), ({"shields": "two seals"}, 5, 2), ({"shields": "one shield"}, 4, 1)],
)
def test_seals_of_a_bearing_are_drawn(traits: dict[str, str], shapes: int, covers: int) -> None:
    """A bearing closed at its ends shows it: rubber for seals, metal for shields."""
    sizes = {"bore_diameter": 35.0, "outside_diameter": 72.0, "width": 17.0}
    found = section("rolling_bearing", sizes, traits)
    assert found is not None
    assert len(found.shapes) == shapes
    thin = [s for s in found.shapes[3:] if s.points]
    assert len(thin) == covers
    if covers:
        assert {s.hatch for s in thin} == {"rubber" if "seal" in traits["shields"] else "metal"}


def test_a_tapered_bearing_is_no_ball_bearing() -> None:
    """Told by its type or by its assembled width (ISO 355), it has cone, cup and slanted roller."""
    sizes = {"bore_diameter": 30.0, "outside_diameter": 62.0, "assembled_width": 17.25}
    found = section("rolling_bearing", sizes)
    assert found is not None
    assert all(shape.radius is None for shape in found.shapes)
    roller = found.shapes[2].points
    assert roller[1][1] > roller[0][1]  # its axis rises
    for shape in found.shapes:
        assert all(15.0 <= y <= 31.0 for _, y in shape.points)


@given(levels=st.lists(st.floats(0, 400), min_size=1, max_size=5), lines=st.floats(1, 3))
def test_labels_never_cover_each_other(levels: list[float], lines: float) -> None:
    """Labels keep their order and stand at least their own height apart, about their levels."""
    ordered = sorted(levels)
    stands = spread(ordered, lines)
    gaps = [b - a for a, b in itertools.pairwise(stands)]
    assert all(gap >= lines * GAP - 1e-6 for gap in gaps)
    assert sum(stands) == pytest.approx(sum(ordered), abs=1e-6 * len(levels))


@given(
    bore=st.floats(5, 200),
    wall=st.floats(0.3, 40),
    length=st.floats(0.5, 300),
    unit=st.sampled_from(["mm", "in"]),
)
def test_labels_stay_within_the_picture(bore: float, wall: float, length: float, unit: str) -> None:
    """Whatever the sizes, no label begins or ends outside the picture, and none lies on another.

    A letter is taken as 0.62 of its height wide, more than any of these is on average.
    """
    old = {"bore_diameter": bore, "outside_diameter": bore + 2 * wall, "length": length}
    new = {**old, "outside_diameter": bore + 2 * wall + 1.0}
    picture = _drawn(
        Part("old", "plain_bushing", old),
        Part("new", "plain_bushing", new),
        marks=[Misfit("housing", 1.0, "press"), Misfit("shaft", 0.2, "bore")],
        unit=unit,
    )
    width, height = float(picture.root.attrib["width"]), float(picture.root.attrib["height"])
    boxes = []
    for text in picture.all("text"):
        size, x, y = (float(text.attrib[n]) for n in ("font-size", "x", "y"))
        right = x + 0.62 * size * len(text.text or "")
        assert x >= 0
        assert right <= width + 1
        assert size <= y <= height
        boxes.append((x, y - 0.75 * size, right, y))
    for n, a in enumerate(boxes):
        for b in boxes[n + 1 :]:
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (a, b)
