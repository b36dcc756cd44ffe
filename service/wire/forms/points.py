"""Wire: the fields of points, `[x, y]`, in a document (`Point`) and in a reply (`PointBuilt`).

Each is published as a component, so that a generated client has one type for all of its points.
"""

from __future__ import annotations

from typing import Any, ClassVar

from service.core import limits
from service.wire.forms.nested import Items
from service.wire.forms.strict import Number


class Point(Items):
    """A point in plan. component: the name of the component that publishes it."""

    component: ClassVar[str] = "Point"
    told: ClassVar[str] = "[x, y] in the document's unit, x to the right and y up."

    def __init__(self, title: str = "Point", about: str = "", **bounds: Any) -> None:
        unit = "in the document's unit"
        coordinate = Number("Coordinate", unit=unit, **(bounds or {"least": -limits.NUMBER}))
        super().__init__(coordinate, title, about, least=2, most=2)

    def published(self, converter: Any) -> dict[str, Any]:
        """A reference to the component."""
        return {"$ref": f"#/components/schemas/{self.component}"}

    def form(self, converter: Any) -> dict[str, Any]:
        """The schema of the component."""
        listed = super().published(converter)
        told = {"title": self.metadata["title"], "description": self.told}
        return {**told, "examples": [[55.5, 36]], **listed}


class PointBuilt(Point):
    """A point in plan or in a panel, as a reply has it: without bounds on its coordinates."""

    component = "PointBuilt"

    def __init__(self, title: str = "Point built", about: str = "") -> None:
        super().__init__(title, about, most=None)
