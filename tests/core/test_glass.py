"""Glass: mass rows of the check-value table, blocks, sizes and areas.

S2: technical bulletin ATS-129, properties of soda-lime silica float glass (2500 kg/m3).
S3: "Do it right the first time, save legal costs" (glassmagazine.com, 2008): quarter points.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.core.measure import Unit
from service.core.records.kit import Block, GlassKit, Pane
from service.core.runs.cuts import Clears
from service.core.runs.glass import panel_fits, place_blocks, place_panel, weigh
from tests.bounded import bounded
from tests.core.builders import MILLIMETRE, SURFACE

assert SURFACE.glass is not None
assert MILLIMETRE.glass is not None
INCH: GlassKit = SURFACE.glass
METRIC: GlassKit = MILLIMETRE.glass


@pytest.mark.parametrize(("nominal", "kilograms"), [(6, 15.0), (8, 20.0), (10, 25.0), (12, 30.0)])
def test_mass_of_a_square_metre(nominal: float, kilograms: float) -> None:
    """Rows 1 and 2 (S2): 2.5 kg/m2 for each millimetre of nominal thickness."""
    assert weigh(1.0, nominal) == kilograms


@pytest.mark.parametrize(
    ("unit", "width", "height", "nominal", "mass", "area"),
    [
        ("in", 48, 36, 6, 16.723 / 0.45359237, 12.0),
        ("mm", 1200, 1000, 12, 36.0, 1.2),
        ("mm", 1000, 920, 10, 23.0, 0.92),
    ],
)
def test_panels(
    unit: Unit, width: float, height: float, nominal: float, mass: float, area: float
) -> None:
    """Rows 3, 4 and 15: mass and area are in lb and sq ft in inch documents, in kg and m2 in
    millimetre ones.

    Row 3 is 16.723 kg to 0.005, and 1 lb is 0.45359237 kg exactly.
    """
    pane = Pane(1.0, nominal, 1.0, "tempered")
    kit = replace(INCH, panes=(pane,), side_gap=0.0)
    panel = place_panel(Clears(width, width), height, kit, 0, unit, 0.0625)
    assert panel.mass == pytest.approx(mass, abs=0.011)
    assert panel.area == pytest.approx(area, abs=1e-9)
    assert panel.corners == ((0, 0), (width, 0), (width, height), (0, height))


def blocks(width: float, inset: float, step: float = 0.0625) -> tuple[float, float]:
    """Centres of a panel's setting blocks."""
    return place_blocks(width, replace(INCH, block=Block(inset, 4.0)), step, width)


@pytest.mark.parametrize(
    ("width", "inset", "centres"),
    [
        (48, 12, (12, 36)),
        (48, 6, (6, 42)),
        (24, 6, (6, 18)),
        (23, 6, (5.75, 17.25)),
        (20, 6, (5, 15)),
        (32, 9, (8, 24)),
        (36, 9, (9, 27)),
        (35.875, 9, (8.9375, 26.875)),
    ],
)
def test_blocks(width: float, inset: float, centres: tuple[float, float]) -> None:
    """Blocks stand at the kit's inset, or at the quarter points of a narrow panel.

    Row 13 (S3) is 48 wide with quarter points 12 and 36; then come the kit's inset and narrow
    panels. 35.875/4 = 8.96875 is between 8.9375 and 9 and goes to the lesser; 26.90625 likewise to
    26.875.
    """
    assert blocks(width, inset) == centres


@bounded(150)
@given(st.integers(60, 1200), st.integers(20, 200))
def test_blocks_stand_evenly(sixteenths: int, inset: int) -> None:
    """Both blocks are, within half a step, as far from their end as the lesser of the inset and a
    quarter of the width."""
    width, to_end = sixteenths / 16, inset / 16
    first, second = blocks(width, to_end)
    wanted = min(Fraction(inset, 16), Fraction(sixteenths, 64))
    assert abs(Fraction(first) - wanted) <= Fraction(1, 32)
    assert abs(Fraction(width - second) - wanted) <= Fraction(1, 32)


@pytest.mark.parametrize(
    ("clear", "height", "fits"),
    [
        (58.5, 40.0, True),
        (58.5625, 40.0, False),
        (56.5, 44.0, False),
        (50.0, 48.5, False),
        (48.0, 46.0, True),
    ],
)
def test_what_a_kit_takes(clear: float, height: float, fits: bool) -> None:
    """A panel fits the kit within its greatest width and area; its height is the matter of a
    finding, and no reason for more bays.

    With side gaps of 1.25, a clear of 58.5 gives the greatest width, 56; the greatest area is 2300
    sq in. 56 x 40 = 2240; 56.0625 is too wide; 54 x 44 = 2376; 47.5 x 48.5 = 2303.75; 45.5 x 46 =
    2093.
    """
    assert (INCH.max_width, INCH.max_area, INCH.side_gap) == (56, 2300, 1.25)
    assert panel_fits(clear, height, INCH, 0.0625) == fits


@bounded(100)
@given(st.integers(300, 3000), st.integers(0, 4))
def test_a_panel_stands_in_the_middle_of_its_own_bay(sixteenths: int, more: int) -> None:
    """A panel is sized from the run's shared clear, floored, and its two side gaps share what its
    own bay has over."""
    shared, clear = sixteenths / 32, sixteenths / 32 + more / 16
    panel = place_panel(Clears(clear, shared), 30.0, INCH, 0, "in", 0.0625)
    assert Fraction(panel.width) % Fraction(1, 16) == 0
    assert 0 <= shared - 2 * INCH.side_gap - panel.width < 0.0625
    assert 2 * panel.side_gap + panel.width == pytest.approx(clear)
    assert panel.side_gap >= INCH.side_gap


def test_the_second_pane_weighs_its_own_thickness() -> None:
    """A panel of 1200 x 1000 mm weighs 30 kg in the 10 mm pane and 36 kg in the 12 mm one."""
    kit, clears = replace(METRIC, side_gap=0.0), Clears(1200, 1200)
    weights = [place_panel(clears, 1000, kit, pane, "mm", 1.0).mass for pane in (0, 1)]
    assert weights == pytest.approx([30.0, 36.0])
