"""Ways between rooms: the door graph, and archways, through which rooms are one."""

from typing import TYPE_CHECKING

from shapely import LineString

from asfitted.dwelling.shapes import Dwelling, PlacedOpening

if TYPE_CHECKING:
    import networkx as nx

OUTSIDE = "outside"
"""The node of the graph that stands for everywhere out of the dwelling."""
LINTEL = 0.30
"""Metres between an archway and the ceiling up to which the archway counts as open to the ceiling: smoke is held back
by a downstand of more (common practice, no source)."""


def door_graph(dwelling: Dwelling) -> "nx.MultiGraph[str]":
    """Give the graph whose nodes are rooms and the outside, and whose edges are doors, archways and stairs.

    Every edge has ``opening`` or ``stair``, its id, as its key.
    """
    import networkx as nx

    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(dwelling.rooms)
    for opening in dwelling.openings.values():
        if opening.is_door:
            graph.add_edge(opening.rooms[0], opening.rooms[1] or OUTSIDE, key=opening.id, kind="door")
    for storey in dwelling.storeys:
        for flight in storey.flights:
            graph.add_edge(flight.stair.in_, flight.stair.to, key=flight.stair.id, kind="stair")
    return graph


def above_ground(dwelling: Dwelling, opening: PlacedOpening) -> float:
    """Give metres from the ground outside to the lower edge of an opening; of a rooflight, to its middle."""
    level = dwelling.storey(opening.storey).level
    if opening.wall is None:
        return level + dwelling.rooms[opening.rooms[0]].ceiling.height_at(*opening.middle)
    return level + opening.opening.sill


def open_plan(dwelling: Dwelling, room: str) -> frozenset[str]:
    """Give the rooms that archways join with a room, one after another, and the room itself."""
    pairs = [frozenset(filter(None, o.rooms)) for o in dwelling.openings.values() if o.opening.kind == "archway"]
    joined = frozenset((room,))
    while more := joined.union(*(pair for pair in pairs if pair & joined)) - joined:
        joined |= more
    return joined


def open_spans(dwelling: Dwelling, room: str) -> list[LineString]:
    """Give the stretches of a room's boundary where an archway reaches the ceiling, or is within 0.30 m of it.

    An archway whose height is not recorded is taken not to reach it.
    """
    ceiling = dwelling.rooms[room].ceiling
    return [
        line
        for placed in dwelling.openings_of(room)
        if placed.opening.kind == "archway" and placed.opening.height is not None
        for line in (placed.line_in(room),)
        if placed.opening.sill + placed.opening.height >= ceiling.highest_along(line) - LINTEL - 1e-9
    ]


def rooms_without_way_in(dwelling: Dwelling) -> list[str]:
    """Give the rooms that no door or stair connects with the outside; voids need none."""
    import networkx as nx

    graph = door_graph(dwelling)
    if OUTSIDE not in graph:
        return []
    reached = nx.node_connected_component(graph, OUTSIDE)
    return [name for name, room in dwelling.rooms.items() if name not in reached and room.room.use != "void"]
