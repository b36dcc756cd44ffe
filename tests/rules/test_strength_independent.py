"""Sections and beams checked by general methods that share no formula with them.

Sections: the lengths of level cuts through the outline, taken by shapely, summed by Gauss's rule.
Beams: a row of finite elements (Euler and Bernoulli's), solved by numpy.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from shapely import LineString, Polygon, box

from service.rules.strength import beams, glass_strip
from service.rules.strength.sections import Section, bar, ring, rod, tube

TUBES = [
    (2.5, 2.5, 0.125),
    (2.0, 2.0, 0.125),
    (60.0, 60.0, 3.0),
    (60.0, 45.0, 3.0),
    (3.0, 1.0, 0.2),
]
E, I = 10.1e6, 0.55176  # noqa: E741
PIECES = 48


def integrated(outline: Polygon, cuts: list[float]) -> float:
    """Second moment of an outline about the level axis through nought.

    cuts: the levels at which the outline's sides turn; between them Gauss's rule of four is exact.
    """
    points, weights = np.polynomial.legendre.leggauss(4)
    low, _, high = cuts[0], None, cuts[-1]
    reach = 2 * (abs(low) + abs(high) + 1000)
    moment = 0.0
    for begin, end in zip(cuts, cuts[1:], strict=False):
        for point, weight in zip(points, weights, strict=True):
            level = (end + begin) / 2 + point * (end - begin) / 2
            width = outline.intersection(LineString([(-reach, level), (reach, level)])).length
            moment += float(width * weight * (end - begin) / 2) * level**2
    return moment


def same(found: Section, outline: Polygon, along: float, cuts: list[float]) -> None:
    """Asserts that a section has the second moment and the modulus of its outline."""
    moment = integrated(outline, cuts)
    assert found.moment == pytest.approx(moment, rel=1e-9)
    assert found.modulus == pytest.approx(moment / (along / 2), rel=1e-9)


@pytest.mark.parametrize(("along", "across", "wall"), TUBES)
def test_a_tube(along: float, across: float, wall: float) -> None:
    """A tube's section is that of its outline with the hollow cut out."""
    a, b, t = along / 2, across / 2, wall
    outline = box(-b, -a, b, a).difference(box(t - b, t - a, b - t, a - t))
    same(tube(along, across, wall), outline, along, [-a, t - a, 0.0, a - t, a])


@pytest.mark.parametrize(("along", "across"), [(0.75, 0.75), (18.0, 40.0)])
def test_a_bar(along: float, across: float) -> None:
    """A bar's section is that of its outline, and a tube whose walls meet is a bar."""
    a, b = along / 2, across / 2
    same(bar(along, across), box(-b, -a, b, a), along, [-a, 0.0, a])
    assert tube(along, across, min(a, b)) == bar(along, across)


@pytest.mark.parametrize(("across", "wall"), [(1.5, 0.125), (40.0, 2.5), (42.4, 21.2)])
def test_a_round(across: float, wall: float) -> None:
    """A round section is that of a polygon of 2000 corners, whose second moment is the sum of (x y'
    - x' y)(y^2 + y y' + y'^2) over 12; a ring without a hollow is solid."""
    turns = np.linspace(0.0, 2 * np.pi, 2001)

    def moment(diameter: float) -> float:
        x, y = diameter / 2 * np.cos(turns), diameter / 2 * np.sin(turns)
        cross = x[:-1] * y[1:] - x[1:] * y[:-1]
        return float(np.sum(cross * (y[:-1] ** 2 + y[:-1] * y[1:] + y[1:] ** 2)) / 12)

    hollow = moment(across) - moment(across - 2 * wall)
    assert ring(across, wall).moment == pytest.approx(hollow, rel=1e-4)
    assert ring(across, wall).modulus == pytest.approx(hollow / (across / 2), rel=1e-4)
    assert rod(across).moment == pytest.approx(moment(across), rel=1e-4)
    assert ring(across, across) == rod(across)


def bent(
    length: float, forces: dict[int, float], held: tuple[int, ...], pieces: int = PIECES
) -> tuple[Any, Any]:
    """Deflections at the nodes of a row of beam elements, and the bending moment at each.

    forces: by node. held: degrees of freedom that are fixed (twice the node, plus one for its
    turn).
    """
    h = length / pieces
    stiff = (
        E
        * I
        / h**3
        * np.array(
            [
                [12, 6 * h, -12, 6 * h],
                [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                [-12, -6 * h, 12, -6 * h],
                [6 * h, 2 * h * h, -6 * h, 4 * h * h],
            ]
        )
    )
    whole = np.zeros((2 * pieces + 2, 2 * pieces + 2))
    for i in range(pieces):
        whole[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += stiff
    load = np.zeros(2 * pieces + 2)
    for node, force in forces.items():
        load[2 * node] = force
    free = [i for i in range(2 * pieces + 2) if i not in held]
    moved = np.zeros(2 * pieces + 2)
    moved[free] = np.linalg.solve(whole[np.ix_(free, free)], load[free])
    moments = np.zeros(pieces + 1)
    for i in range(pieces):
        ends = stiff @ moved[2 * i : 2 * i + 4]
        moments[i], moments[i + 1] = ends[1], -ends[3]
    return moved[::2], moments


def spread(total: float, begin: int, end: int) -> dict[int, float]:
    """A force spread over the elements between two nodes, half of each element's share at its
    ends."""
    each = total / (end - begin)
    return {node: each * (1.0 if begin < node < end else 0.5) for node in range(begin, end + 1)}


SIMPLE = (0, 2 * PIECES)
CANTILEVER = (0, 1)


def test_a_post() -> None:
    """A force at the top of a post held at its foot: bending and movement agree with the
    elements'."""
    moved, moments = bent(42.0, {PIECES: 200.0}, CANTILEVER)
    assert beams.cantilever_deflection(200, 42, E, I) == pytest.approx(moved[-1], rel=1e-6)
    assert beams.cantilever_moment(200, 42) == pytest.approx(abs(moments[0]), rel=1e-6)


def test_a_rail_under_a_force() -> None:
    """A force at the middle of a rail on two supports: bending and movement agree with the
    elements'."""
    moved, moments = bent(72.0, {PIECES // 2: 200.0}, SIMPLE)
    assert beams.span_deflection_of_point(200, 72, E, I) == pytest.approx(max(moved), rel=1e-6)
    assert beams.span_moment_of_point(200, 72) == pytest.approx(max(abs(moments)), rel=1e-6)


def test_a_rail_under_a_line() -> None:
    """A load all along a rail on two supports: bending and movement agree with the elements', in
    which the load is lumped at the nodes, off by the square of an element."""
    moved, moments = bent(72.0, spread(300.0, 0, PIECES), SIMPLE)
    line = 300 / 72
    assert beams.span_deflection_of_line(line, 72, E, I) == pytest.approx(max(moved), rel=1e-3)
    assert beams.span_moment_of_line(line, 72) == pytest.approx(max(abs(moments)), rel=1e-3)


@pytest.mark.parametrize("patch", [6.0, 12.0, 36.0])
def test_a_picket_under_a_patch(patch: float) -> None:
    """A load spread over the middle of a picket: bending and movement agree with the elements';
    spread over the whole of it, it is a line load."""
    nodes = round(patch / 36 * PIECES / 2)
    middle = PIECES // 2
    moved, moments = bent(36.0, spread(50.0, middle - nodes, middle + nodes), SIMPLE)
    found = beams.span_deflection_of_patch(50, 36, patch, E, I)
    assert found == pytest.approx(max(moved), rel=3e-3)
    assert beams.span_moment_of_patch(50, 36, patch) == pytest.approx(max(abs(moments)), rel=3e-3)


def test_a_patch_longer_than_its_span_is_a_line() -> None:
    """A load spread over more than the span counts only as far as it lies on the span: of 60 lbf
    over 48 in, 45 lbf lie on 36 in of span, w L^2/8 = 60/48 x 36^2/8 = 202.5."""
    assert beams.span_moment_of_patch(60, 36, 48) == pytest.approx(202.5)
    longer = beams.span_deflection_of_patch(60, 36, 48, E, I)
    assert longer == pytest.approx(beams.span_deflection_of_line(60 / 48, 36, E, I))


def test_glass_is_a_beam_of_unit_breadth() -> None:
    """The closed forms for a strip of glass agree with the same elements, for a pane of unit
    breadth whose thickness gives their second moment."""
    thickness = (12 * I) ** (1 / 3)  # a strip 1 in wide with the elements' own I
    moved, moments = bent(36.0, spread(36.0, 0, PIECES), SIMPLE)
    stress = 6 * max(abs(moments)) / thickness**2
    assert glass_strip.pressure_stress(1.0, 36, thickness) == pytest.approx(stress, rel=1e-3)
    found = glass_strip.pressure_deflection(1.0, 36, thickness, E)
    assert found == pytest.approx(max(moved), rel=1e-3)
