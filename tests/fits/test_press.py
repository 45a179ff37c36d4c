"""Press fits against printed examples and a separate numerical solution of the ring equation."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from xref.errors import Impossible
from xref.fits import press_fit

PSI = 0.006894757


def test_solid_shaft_in_a_collar() -> None:
    """Brown, Marks' Calculations for Machine Design, Example 6: 2100 psi printed, 2083.3 exact.

    Radial interference 0.0005 in, interface radius 2 in, collar radius 3 in, steel on steel:
    the book's one-modulus form has no Poisson term (E = 30e6 psi, 206 843 MPa against 207 000).
    """
    made = press_fit(0.001 * 25.4, 4 * 25.4, 0, 6 * 25.4, 10.0, inner="steel", outer="steel")
    assert float(made.pressure_mpa) / PSI == pytest.approx(2083.3, rel=1.5e-3)


@pytest.mark.parametrize(
    ("interference", "joint", "bore", "outside", "length", "metals", "pressure", "force", "close"),
    [
        # own cases of the collected file, solved there by an ODE as well (from memory moduli)
        (0.0355, 26, 20, 60, 20, ("bronze", "cast iron"), 28.0299, 6.869, 0.02474),
        (0.030, 23, 20, 60, 20, ("bronze", "cast iron"), 16.8761, 3.658, 0.02494),
        (0.059, 50, 0, 80, 40, ("steel", "steel"), 74.4230, 70.142, 0.0),
        (0.018, 50, 0, 80, 40, ("steel", "steel"), 22.7053, 21.399, 0.0),
    ],
)
def test_collected_cases(
    interference: float,
    joint: float,
    bore: float,
    outside: float,
    length: float,
    metals: tuple[str, str],
    pressure: float,
    force: float,
    close: float,
) -> None:
    """Pressure, force and close-in of the collected cases."""
    made = press_fit(interference, joint, bore, outside, length, inner=metals[0], outer=metals[1])
    assert float(made.pressure_mpa) == pytest.approx(pressure, rel=1e-5)
    assert float(made.force_kn) == pytest.approx(force, rel=1e-3)
    assert float(made.close_in_mm) == pytest.approx(close, abs=5e-6)


def ring(inner_radius: float, outer_radius: float, modulus: float, poisson: float):
    """Radial displacement at both radii under unit pressure inside or outside, by solve_bvp.

    u'' + u'/r - u/r^2 = 0 (plane stress); radial stress E/(1-nu^2) (u' + nu u/r).
    """
    factor = modulus / (1 - poisson**2)

    def equation(r, y):
        return np.vstack((y[1], y[0] / r**2 - y[1] / r))

    def solve(inside: float, outside: float) -> tuple[float, float]:
        def ends(a, b):
            return np.array(
                [
                    factor * (a[1] + poisson * a[0] / inner_radius) + inside,
                    factor * (b[1] + poisson * b[0] / outer_radius) + outside,
                ]
            )

        r = np.linspace(inner_radius, outer_radius, 200)
        found = solve_bvp(equation, ends, r, np.zeros((2, 200)), tol=1e-10, max_nodes=20_000)
        assert found.success
        return float(found.y[0, 0]), float(found.y[0, -1])

    return solve


@pytest.mark.parametrize(("bore", "joint", "outside"), [(20, 26, 60), (30, 36, 48), (12, 18, 200)])
def test_lame_agrees_with_the_ring_equation(bore: float, joint: float, outside: float) -> None:
    """The pressure that closes the interference, from the displacements of both rings."""
    made = press_fit(0.04, joint, bore, outside, 20.0)
    p = float(made.pressure_mpa)
    bush = ring(bore / 2, joint / 2, 111_000, 0.349)(0.0, p)
    hub = ring(joint / 2, outside / 2, 100_000, 0.211)(p, 0.0)
    assert 2 * (hub[0] - bush[1]) == pytest.approx(0.04, rel=1e-5)
    assert -2 * bush[0] == pytest.approx(float(made.close_in_mm), rel=1e-5)


def test_no_interference_presses_nothing() -> None:
    """Clearance gives no pressure, no force, no close-in."""
    made = press_fit(np.array([-0.01, 0.0]), 26.0, 20.0, np.inf, 20.0)
    assert not made.pressure_mpa.any()
    assert not made.force_kn.any()


@pytest.mark.parametrize(
    "sizes", [(0.03, 20, 26, 60, 20), (0.03, 60, 20, 26, 20), (0.03, 26, 20, 60, 0)]
)
def test_impossible_rings_are_refused(sizes: tuple[float, ...]) -> None:
    """Diameters out of order or no length: one sentence."""
    with pytest.raises(Impossible):
        press_fit(*sizes)


def test_unknown_metal_is_refused_by_name() -> None:
    """The sentence names the metals there are."""
    with pytest.raises(Impossible, match="bronze"):
        press_fit(0.03, 26, 20, 60, 20, inner="unobtainium")
