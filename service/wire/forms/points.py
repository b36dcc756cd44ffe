"""Wire: the fields of points, `[x, y]`, in a document (`Point`) and in a reply (`PointBuilt`).

Each is published as a component, so that a generated client has one type for all of its points.
"""

from __future__ import annotations

from typing import Any, ClassVar

from service.core import limits
from service.wire.forms.nested import Items
from service.wire.forms.strict import Number, reference


class Point(Items):
    """A point in plan. component: names the component that publishes it. bounds: of a number."""

    component: ClassVar[str] = "Point"
    bounds: ClassVar[dict[str, Any]] = {"least": -limits.NUMBER}
    told: ClassVar[str] = "[x, y] in the document's unit, x to the right and y up."

    def __init__(self, about: str = "", **more: Any) -> None:
        coordinate = Number(title="Coordinate", unit="in the document's unit", **self.bounds)
        super().__init__(coordinate, about, least=2, most=2, **more)

    def published(self, converter: Any) -> dict[str, Any]:
        """A reference to the component."""
        return reference(self.component)

    def form(self, converter: Any) -> dict[str, Any]:
        """The schema of the component."""
        listed = super().published(converter)
        return {"description": self.told, "examples": [[55.5, 36]], **listed}


class PointBuilt(Point):
    """A point in plan or in a panel, as a reply has it: without bounds on its coordinates."""

    component = "PointBuilt"
    bounds = {"most": None}
