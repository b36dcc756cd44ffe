"""Rules: what a finding's place belongs to (`Places`): the edges, flights and openings of a bay, a
run or a post, by the names that the document gives them."""

from __future__ import annotations

from collections import defaultdict

from service.core.records.layout import Bay, Layout, Run
from service.core.records.seen import edge_place


class Places:
    """What stands at each place of a layout.

    edges, flights, openings, bays: by the place's name. An edge is its level and the caller's
    number.
    """

    def __init__(self, layout: Layout) -> None:
        self.edges: defaultdict[str, set[tuple[str, int]]] = defaultdict(set)
        self.flights: defaultdict[str, set[str]] = defaultdict(set)
        self.openings: defaultdict[str, list[str]] = defaultdict(list)
        self.bays: defaultdict[str, list[Bay]] = defaultdict(list)
        self._corners: defaultdict[str, set[int]] = defaultdict(set)
        for seen in layout.edges:
            self.edges[seen.place].add((seen.level, seen.edge))
            self._corners[seen.level].add(seen.edge)
        for bay in layout.bays:
            for name in filter(None, (bay.id, bay.run, bay.start, bay.end)):
                self.bays[name].append(bay)
        stands: list[Run | Bay] = [*layout.runs, *layout.bays]
        for one in stands:
            for name in filter(None, (one.id, one.start, one.end)):
                if one.flight is None:
                    self.edges[name].add((one.level, one.edge))
                else:
                    self.flights[name].add(one.flight)
        self._of_openings(layout)
        self._named = {opening.place for opening in layout.openings}

    def _of_openings(self, layout: Layout) -> None:
        for opening in layout.openings:
            for name in filter(None, (opening.place, opening.start, opening.end)):
                self.edges[name].add((opening.level, opening.edge))
                self.openings[name].append(opening.place)
        for flight in layout.flights:
            for name in (flight.id, *flight.posts):
                self.flights[name].add(flight.id)
        down = {flight.id: flight.opening for flight in layout.flights}
        for name, flights in self.flights.items():
            self.openings[name] += sorted(down[flight] for flight in flights)
        for run in layout.runs:
            for name in filter(None, (run.start, run.end)):
                self.openings[run.id] += self.openings.get(name, [])

    def whole(self, name: str) -> set[str]:
        """The flights of a place, or the opening that it is; a change has to cure each wholly."""
        return self.flights.get(name) or ({name} & self._named)

    def beside(self, level: str, edge: int) -> list[tuple[str, int]]:
        """The two edges that an edge shares its corners with."""
        count = len(self._corners[level])
        return [(level, (edge + step) % count) for step in (-1, 1)]

    def lasting(self, name: str) -> set[str]:
        """A place by names that do not change when posts and bays are numbered anew.

        These are the names of its edges and flights, or else its own.
        """
        edges = {edge_place(*edge) for edge in self.edges.get(name, ())}
        return edges | self.flights.get(name, set()) or {name}
