"""Web: the fixed deck that is laid out at the start, before the service says that it is ready."""

from __future__ import annotations

from typing import Final

DECK: Final = b"""{
  "title": "Readiness",
  "unit": "in",
  "kit": "picket-glass-surface-in",
  "code": "us-irc-2021",
  "guard": {"infill": "picket"},
  "levels": [{
    "id": "main",
    "outline": {"points": [[0, 0], [240, 0], [240, 144], [0, 144]]},
    "drop": 48,
    "edges": [{"edge": 2, "condition": "wall"}, {"edge": 1, "infill": "glass"}]
  }]
}"""
"""The deck document: 20 ft by 12 ft against a house, with two sides of pickets and one of glass."""
