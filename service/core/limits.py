"""Core: the published limits on one document, checked before the work that they bound is done.

A count above its limit is refused as TooLarge; a value above its own bound does not fit the schema.
"""

from __future__ import annotations

from typing import Final

DEPTH: Final = 32
"""Nesting of JSON arrays and objects."""
LEVELS: Final = 16
CORNERS: Final = 128
"""Corners of one outline."""
EDGES: Final = 128
OPENINGS: Final = 64
"""Openings of one level; obstructions and no_post stretches likewise."""
OBSTRUCTIONS: Final = 64
OBSTRUCTION_CORNERS: Final = 64
NO_POST: Final = 64
STAIRS: Final = 32
RISERS: Final = 60
"""Risers of one flight."""
MEASURES: Final = 2500
KIT_LIST: Final = 32
"""Entries of one list inside a kit (stock lengths, heights, panes), a code or the prices."""
PARTS: Final = 200
AMENDMENTS: Final = 128
BAYS: Final = 2500
"""Bays of one document."""
PLACES: Final = 120_000
"""Pickets, rail supports, weep holes and handrail brackets of one document, together."""
MARK_WORK: Final = 1_000_000
"""Places weighed in one document while marks are proven best around no_post stretches."""
ON_HAND: Final = 200
"""Entries of `stock_on_hand`."""
ON_HAND_COUNT: Final = 1000
"""Sticks of one entry of `stock_on_hand`."""
COMPARE: Final = 8
"""Variants in `compare`."""
COMPARE_BAYS: Final = 2500
"""Bays of a document and its variants together, where it has variants. A deck with fewer bays than
edges counts by its edges."""
PAGES: Final = 250
"""Pages of drawings in one sheet."""
TEXT: Final = 200
"""Characters of a title, a name or a reason."""
NUMBER: Final = 1_000_000
"""Greatest absolute value of a coordinate or a length, in the unit of its own document."""
