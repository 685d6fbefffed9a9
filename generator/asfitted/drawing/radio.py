"""Radio links on the plan: each with its margin, weak ones by another line, and where a repeater would help most."""

from collections.abc import Mapping, Sequence

from asfitted.drawing.canvas import XY
from asfitted.drawing.ground import Ground, Layer, Telling
from asfitted.drawing.lettering import width_of
from asfitted.drawing.lines import label_along
from asfitted.drawing.marks import LINES, POINTS
from asfitted.drawing.samples import best_mark
from asfitted.drawing.sheet import Entry
from asfitted.drawing.words import room_words
from asfitted.dwelling.shapes import Dwelling
from asfitted.model.home import Home
from asfitted.reckon.of_radio import Link, Radio
from asfitted.reckon.radio_moves import Move


def is_weak(link: Link, least: float) -> bool:
    """Tell whether a link is weak: measured below ``least`` dB, or predicted to fail in too many places."""
    return link.reserve < (0.0 if link.measured is None else least)


def radio_layer(
    dwelling: Dwelling, storey_id: str, home: Home, radio: Radio, least: float, move: Move | None
) -> Layer | None:
    """Show the radio links of the devices on a storey, and those that end there.

    Args:
        dwelling: the home as laid out.
        storey_id: which storey.
        home: the record.
        radio: the links of the home.
        least: the margin in dB that the rule set asks of a reading.
        move: where a repeater or the control unit would help, if that is to be shown.

    Returns:
        The layer; None where no link starts or ends on the storey.
    """
    storeys = {tag: spot.storey for tag, spot in dwelling.spots.items()}
    here = [link for link in radio.links if storey_id in (storeys[link.tag], storeys[link.to])]
    drawn = _drawable(dwelling, here)
    if not drawn:
        return None
    weak = [link for link in drawn if is_weak(link, least)]
    across = [link for link in drawn if storeys[link.tag] != storeys[link.to]]
    proposed = move if move is not None and dwelling.rooms[move.room].storey == storey_id else None
    notes = [
        "A margin as measured, or with ≈ what the prediction leaves after fading.",
        f"Weak: measured below {least:g} dB, or predicted below 0 dB.",
        *([f"Not yet placed on the plan: {', '.join(radio.without_place)}"] if radio.without_place else []),
    ]
    legend = [
        *([Entry("link", "radio link, margin")] if len(weak) < len(drawn) else []),
        *([Entry("weak link", "weak radio link")] if weak else []),
        *([Entry("elsewhere", "other end on another storey")] if across else []),
        *([Entry("best", f"a {proposed.what} here would help")] if proposed else []),
    ]
    called = dwelling.storey(storey_id).storey.called
    telling = Telling(
        f"radio-{storey_id}",
        f"Radio links, {called}, {home.home.label}",
        [*(_link_words(link, least) for link in drawn), *_move_words(dwelling, proposed), *notes],
        legend,
        notes,
    )
    tags = {tag for link in drawn for tag in (link.tag, link.to)}

    def paint(on: Ground) -> None:
        if proposed is not None:
            at = on.view.at(proposed.point)
            best_mark(on.canvas, "devices", at)
            on.keep(at, 4.8)
            on.label(at, f"{proposed.what}, +{proposed.gain:.0f} dB", "d-zone-figure")
        for tag in dict.fromkeys(tag for link in drawn for tag in (link.tag, link.to)):
            _elsewhere(on, tag, storeys)
        for link in sorted(drawn, key=lambda link: (not is_weak(link, least), link.tag)):
            _link(on, link, weak=is_weak(link, least))

    return Layer(telling, paint, tags=tags)


def _drawable(dwelling: Dwelling, links: Sequence[Link]) -> list[Link]:
    """Give the links whose ends both have a point, of two devices that answer each other only one."""
    found: dict[frozenset[str], Link] = {}
    for link in links:
        if all(dwelling.spots[tag].point is not None for tag in (link.tag, link.to)):
            pair = frozenset((link.tag, link.to))
            if pair not in found or link.reserve < found[pair].reserve:
                found[pair] = link
    return list(found.values())


def _figure(link: Link) -> str:
    return f"{'≈ ' if link.measured is None else ''}{link.reserve:.0f} dB"


def _elsewhere(on: Ground, tag: str, storeys: Mapping[str, str]) -> None:
    """Mark where a device of another storey is above or below this one."""
    if storeys[tag] == on.storey.id:
        return
    at = _point(on, tag)
    POINTS["elsewhere"](on.canvas, "devices", at)
    on.keep(at, 2.6)
    on.label(at, f"{tag}, {on.dwelling.storey(storeys[tag]).storey.called}", "d-figure", clear=2.6)


def _point(on: Ground, tag: str) -> XY:
    point = on.dwelling.spots[tag].point
    assert point is not None
    return on.view.at(point)


def _link(on: Ground, link: Link, *, weak: bool) -> None:
    """Draw a link between the true points of its ends, with its margin along it."""
    kind = "weak link" if weak else "link"
    start, end = _point(on, link.tag), _point(on, link.to)
    on.canvas.line("clearances", [start, end], LINES[kind], link=f"{link.tag} {link.to}")
    letters = "d-mark-figure" if weak else "d-figure"
    if abs(start[0] - end[0]) + abs(start[1] - end[1]) < width_of(_figure(link), letters):
        on.label(start, _figure(link), letters, clear=4.6)
        return
    label_along(
        on.canvas, "text", start, end, _figure(link), letters, on.taken, gap=0.7, farther=(1.8, 3.0), weight=8.0
    )


def _link_words(link: Link, least: float) -> str:
    weak = ", weak" if is_weak(link, least) else ""
    if link.measured is not None:
        return f"{link.tag} to {link.to}: {link.measured[0]:.0f} dB measured on {link.measured[1].isoformat()}{weak}."
    return f"{link.tag} to {link.to}: {link.reserve:.0f} dB predicted after fading{weak}."


def _move_words(dwelling: Dwelling, move: Move | None) -> list[str]:
    if move is None:
        return []
    room = room_words(dwelling.rooms[move.room].room)
    return [f"A {move.what} in the {room} would give the weakest link {move.gain:.0f} dB more, by prediction."]
