"""The door graph: which rooms one can walk between, and how far it is."""

from typing import TYPE_CHECKING

from asfitted.dwelling.shapes import Dwelling

if TYPE_CHECKING:
    import networkx as nx

OUTSIDE = "outside"
"""The node of the graph that stands for everywhere out of the dwelling."""


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


def adjacent_rooms(dwelling: Dwelling) -> set[frozenset[str]]:
    """Give the pairs of rooms that share a wall."""
    return {
        frozenset((room.id, face.beyond))
        for room in dwelling.rooms.values()
        for wall in room.walls
        for face in wall.faces
        if face.beyond
    }


def rooms_without_way_in(dwelling: Dwelling) -> list[str]:
    """Give the rooms that no door or stair connects with the outside; voids need none."""
    import networkx as nx

    graph = door_graph(dwelling)
    if OUTSIDE not in graph:
        return []
    reached = nx.node_connected_component(graph, OUTSIDE)
    return [name for name, room in dwelling.rooms.items() if name not in reached and room.room.use != "void"]
