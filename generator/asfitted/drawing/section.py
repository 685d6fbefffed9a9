"""The section through a ridged or sloping ceiling, with the heights and the distances down the slope."""

from collections.abc import Sequence
from math import atan, cos, hypot, radians, sin

from shapely import Polygon

from asfitted.drawing.canvas import XY, Canvas, View, num, polyline
from asfitted.drawing.drawing import Drawing, TitleBlock
from asfitted.drawing.lettering import SIZES, Box, Taken, width_of
from asfitted.drawing.lines import arrow, dimension
from asfitted.drawing.overlay import SHOWN, legend_of, shown_here
from asfitted.drawing.plan import kinds_used
from asfitted.drawing.profile import Profile, along_axis, hung_sentence, profile_of, profile_sentence, slope_distance
from asfitted.drawing.sheet import Margins, draw_sheet, lay_out
from asfitted.drawing.standing import Stand, draw_leader, tag_places
from asfitted.drawing.symbols import DEVICES, put
from asfitted.drawing.words import named, room_words, sentences, unplaced_note, where
from asfitted.dwelling.shapes import Dwelling, Spot
from asfitted.language import figure, say
from asfitted.model.home import Home
from asfitted.rules.finding import Finding

ROOF, FLOOR = 0.20, 0.20
"""Metres drawn for the thickness of roof and floor, which the record does not give: only how they are drawn."""

LEAST_MOVE = 0.015
"""Metres by which an alarm must move across the section for an arrow to show it."""


def ceiling_section(
    dwelling: Dwelling, room_id: str, home: Home, block: TitleBlock, findings: Sequence[Finding] = ()
) -> Drawing | None:
    """Draw the section through a room whose ceiling slopes; None for a flat ceiling.

    Args:
        dwelling: the home as laid out.
        room_id: which room.
        home: the record, for its devices.
        block: what stands in the title block.
        findings: of which those about the room that do not conform or are borderline are marked.
    """
    room = dwelling.rooms[room_id]
    profile = profile_of(room)
    if profile is None:
        return None
    storey = dwelling.storey(room.storey)
    wall = storey.storey.walls.outside.thickness
    devices = {
        tag: device
        for tag, device in home.devices.items()
        if device.is_fire and (spot := dwelling.spots.get(tag)) and spot.room == room_id and spot.fixed != "outside"
    }
    placed = {
        tag: dwelling.spots[tag] for tag in devices if dwelling.spots[tag].point and dwelling.spots[tag].z is not None
    }
    shown = [finding for finding in shown_here(findings, dwelling, room=room_id) if finding.subject.id in placed]
    bounds = (
        profile.start - wall,
        -FLOOR,
        profile.end + wall,
        profile.ceiling.high + ROOF / cos(atan(profile.ceiling.gradient)),
    )
    deep = 6.5 + 6.0 * len(placed)
    sheet = lay_out(
        bounds,
        Margins(12.0, 5.0 + 6.0 * len(placed), 12.0, deep + 6.0),
        [*kinds_used(devices, dwelling, ()), *legend_of(shown, _drawn(profile, placed, shown))],
        [*unplaced_note(devices, dwelling.spots), say("The thickness of roof and floor is not surveyed.")],
    )
    view = sheet.view
    title = named(say("Section through the {room}", room=room_words(room.room)), block)
    description = sentences(
        [
            profile_sentence(profile, view.scale),
            *(
                hung_sentence(profile, spot, tag, devices[tag].kind, where(devices[tag], spot, dwelling))
                for tag, spot in placed.items()
            ),
            *(finding.says for finding in shown),
        ]
    )
    canvas = Canvas(f"section-{room_id}", sheet.width, sheet.height, title, description)
    taken = Taken(Box(*sheet.drawn))
    _draw_shell(canvas, view, profile, wall, taken)
    stands = _stands(view, profile, placed, {tag: device.kind for tag, device in devices.items()}, taken)
    _draw_heights(canvas, view, profile, wall, taken)
    _draw_findings(canvas, view, profile, placed, shown)
    for order, (tag, spot) in enumerate(placed.items()):
        _draw_device(canvas, view, profile, tag, spot, order, taken)
    for tag, stood in stands.items():
        draw_leader(canvas, "devices", devices[tag].kind, stood)
        put(canvas, "devices", devices[tag].kind, stood.middle, tag=tag)
        _tag(canvas, tag, stood, taken)
    base = view.at((0, -FLOOR))[1] + deep
    ends = (view.at((profile.start, 0))[0], base), (view.at((profile.end, 0))[0], base)
    dimension(canvas, *ends, figure(profile.end - profile.start, 2), taken, overall="width")
    draw_sheet(canvas, sheet, block, None)
    return Drawing(canvas.name, canvas.svg(), sheet.width, sheet.height, view.scale, title, description)


def _draw_shell(canvas: Canvas, view: View, profile: Profile, wall: float, taken: Taken) -> None:
    """Draw floor, walls and roof as cut."""
    under = profile.line
    thick = ROOF / cos(atan(profile.ceiling.gradient))
    low = -FLOOR
    left, right = profile.start - wall, profile.end + wall
    over = [(x, z + thick) for x, z in under]
    over[0] = left, under[0][1] + thick + _rise(under[0], under[1], -wall)
    over[-1] = right, under[-1][1] + thick + _rise(under[-1], under[-2], wall)
    outer = [(left, low), *over, (right, low)]
    inner = [(profile.start, 0.0), *under, (profile.end, 0.0)]
    d = polyline([view.at(p) for p in outer], closed=True) + polyline([view.at(p) for p in inner], closed=True)
    canvas.path("structure", d, "d-wall")
    canvas.line("structure", [view.at(p) for p in under], "d-ceiling", ceiling="underside")
    taken.take_shape(Polygon([view.at(p) for p in outer], [[view.at(p) for p in inner]]), 2.0)
    ax, ay = profile.ceiling.axis or (1.0, 0.0)
    names = ("south", "north") if abs(ay) > 0.5 else ("west", "east")
    names = names if ax + ay > 0 else names[::-1]
    for along, name, anchor, off in ((profile.start, names[0], "start", 1.5), (profile.end, names[1], "end", -1.5)):
        x, y = view.at((along, 0.0))
        canvas.text("text", (x + off, y - 1.5), say(name), "d-word", anchor=anchor)


def _rise(edge: XY, inward: XY, out: float) -> float:
    return (inward[1] - edge[1]) / (inward[0] - edge[0]) * out


def _draw_heights(canvas: Canvas, view: View, profile: Profile, wall: float, taken: Taken) -> None:
    """Draw the heights at both ends and at the top, the ridge, and the pitch."""
    for along, out in ((profile.start, -wall), (profile.end, wall)):
        x = view.at((along + out, 0))[0] + (6.0 if out > 0 else -6.0)
        p, q = (x, view.at((0, 0))[1]), (x, view.at((0, profile.height(along)))[1])
        for y in (p[1], q[1]):
            inner = view.at((along + out, 0))[0] + (1.2 if out > 0 else -1.2)
            canvas.line("dimensions", [(inner, y), (x + (1 if out > 0 else -1), y)], "d-extension")
        dimension(canvas, p, q, figure(profile.height(along), 2), taken, shares=(0.5,), height="edge")
    if profile.ceiling.ridged:
        foot, top = view.at((profile.top, 0.0)), view.at((profile.top, profile.ceiling.high))
        dimension(
            canvas,
            foot,
            top,
            say("ridge {height}", height=figure(profile.ceiling.high, 2)),
            taken,
            shares=(0.4, 0.6, 0.25),
            height="ridge",
            line="d-ridge",
        )
    for along, inward in ((profile.start, 1.0), (profile.end, -1.0)):
        run = min(0.55, (profile.end - profile.start) * 0.2)
        if abs(along - profile.top) < 1e-6:
            continue
        edge = along, profile.height(along)
        radius = view.length(run)
        x, y = view.at(edge)
        pitch = radians(profile.ceiling.pitch)
        tip = x + inward * radius * cos(pitch), y - radius * sin(pitch)
        canvas.line("dimensions", [(x, y), (x + inward * (radius + 1.5), y)], "d-extension")
        sweep = 0 if inward > 0 else 1
        canvas.path(
            "dimensions",
            f"M{num(x + inward * radius)} {num(y)}A{num(radius)} {num(radius)} 0 0 {sweep} {num(tip[0])} {num(tip[1])}",
            "d-dimension",
        )
        at = x + inward * (radius + 1.6), y - radius * sin(pitch / 2) + 0.8
        words = f"{profile.ceiling.pitch:.0f}°"
        anchor = "start" if inward > 0 else "end"
        canvas.text("dimensions", at, words, "d-figure", anchor=anchor)
        taken.take(Box(min(x, at[0] + inward * 6), y - radius, max(x, at[0] + inward * 6), y + 1), 2.0)
        break


def _stands(
    view: View, profile: Profile, spots: dict[str, Spot], kinds: dict[str, str], taken: Taken
) -> dict[str, Stand]:
    """Hang each symbol below its true point, side by side where two would cover each other."""
    stands: dict[str, Stand] = {}
    for tag, spot in spots.items():
        assert spot.point is not None
        assert spot.z is not None
        symbol = DEVICES[kinds[tag]]  # type: ignore[index]
        point = view.at((along_axis(profile, spot.point), spot.z))
        off = symbol.height / 2 + 1.4
        spread = [(0.0, off)] + [(side * step * 6.2, off + 1.5) for step in (1, 2, 3) for side in (-1, 1)]
        boxes = [Box.around((point[0] + dx, point[1] + dy), symbol.width, symbol.height) for dx, dy in spread]
        index, _ = taken.best(boxes, [0.05 * i for i in range(len(boxes))])
        taken.take(boxes[index], 12.0)
        stands[tag] = Stand(symbol, point, boxes[index].centre, 0.0, boxes[index], moved=True)
    return stands


def _draw_device(canvas: Canvas, view: View, profile: Profile, tag: str, spot: Spot, order: int, taken: Taken) -> None:
    """Draw the distance down the slope above the roof, the horizontal one below the floor, and the height."""
    assert spot.point is not None
    assert spot.z is not None
    along = along_axis(profile, spot.point)
    run = abs(along - profile.top)
    x, floor = view.at((along, 0.0))
    point = view.at((along, spot.z))
    level = view.at((0, -FLOOR))[1] + 5.5 + 6.0 * order
    if run > 0.005:
        top = view.at((profile.top, profile.ceiling.high))
        thick = view.length(ROOF) + 4.0 + 6.0 * order
        pitch = atan(profile.ceiling.gradient)
        side = 1.0 if along > profile.top else -1.0
        nx, ny = sin(pitch) * side, -cos(pitch)
        under = view.at((along, profile.height(along)))
        p, q = (top[0] + nx * thick, top[1] + ny * thick), (under[0] + nx * thick, under[1] + ny * thick)
        for (ax, ay), (bx, by) in ((top, p), (under, q)):
            canvas.line("dimensions", [(ax, ay), (bx + nx, by + ny)], "d-extension")
        dimension(
            canvas,
            p,
            q,
            figure(slope_distance(profile, spot), 2),
            taken,
            line="d-tape",
            tick="d-tape-tick",
            letters="d-figure d-tape-figure",
            shares=(0.5,),
            slope=tag,
        )
        ends = (view.at((profile.top, 0))[0], level), (x, level)
        for end in ends:
            canvas.line("dimensions", [(end[0], view.at((0, -FLOOR))[1] + 1.2), (end[0], level + 1.0)], "d-extension")
        dimension(
            canvas,
            *ends,
            figure(run, 2),
            taken,
            line="d-tape",
            tick="d-tape-tick",
            letters="d-figure d-tape-figure",
            shares=(0.5,),
            run=tag,
        )
    dimension(
        canvas,
        (x, floor),
        point,
        f"{tag} {figure(spot.z, 2)}",
        taken,
        line="d-tape",
        tick="d-tape-tick",
        letters="d-figure d-tape-figure",
        shares=(0.35, 0.5, 0.2),
        height=tag,
    )


def _draw_findings(
    canvas: Canvas, view: View, profile: Profile, placed: dict[str, Spot], shown: Sequence[Finding]
) -> None:
    """Draw the clear distance round an alarm, and where it should go, as they look in the section."""
    inner = [(profile.start, 0.0), *profile.line, (profile.end, 0.0)]
    canvas.window("rings", polyline([view.at(p) for p in inner], closed=True))
    for finding in shown:
        mark = finding.mark
        assert mark is not None
        at = view.at((along_axis(profile, mark.at), profile.height(along_axis(profile, mark.at))))
        if mark.radius and finding.limit.least:
            # The mark's radius is that of the plan; in a section the distance asked for shows at its full length.
            asked = finding.limit.least
            canvas.circle(
                "clearances",
                at,
                view.length(asked),
                f"d-mark d-mark-{SHOWN[finding.verdict]}",
                within="rings",
                radius=num(asked),
            )
        if move := _move(profile, placed, finding):
            start, end = view.at(move[0]), view.at(move[1])
            arrow(canvas, "clearances", start, end, "d-mark", "d-mark-head")
            canvas.circle("clearances", end, 0.9, "d-mark")


def _move(profile: Profile, placed: dict[str, Spot], finding: Finding) -> tuple[XY, XY] | None:
    """Give from where to where an alarm should move, in metres of the section; None where that does not show in it."""
    mark, spot = finding.mark, placed[finding.subject.id]
    if mark is None or mark.move_to is None or spot.point is None or spot.z is None:
        return None
    along = along_axis(profile, mark.move_to)
    start, end = (along_axis(profile, spot.point), spot.z), (along, profile.height(along))
    return (start, end) if hypot(end[0] - start[0], end[1] - start[1]) > LEAST_MOVE else None


def _drawn(profile: Profile, placed: dict[str, Spot], shown: Sequence[Finding]) -> frozenset[str]:
    """Give which parts of marks the section shows."""
    moves = any(_move(profile, placed, finding) for finding in shown)
    return frozenset({"ring", "move"} if moves else {"ring"})


def _tag(canvas: Canvas, tag: str, stood: Stand, taken: Taken) -> None:
    places, extra = tag_places(stood.box, width_of(tag, "d-tag"), SIZES["d-tag"] * 0.8)
    index, _ = taken.best(places, extra)
    taken.take(places[index], 11.0)
    canvas.text(
        "devices",
        (places[index].centre[0], places[index].top + SIZES["d-tag"] * 0.76),
        tag,
        "d-tag",
        anchor="middle",
        tag=tag,
    )
