"""What is worked out on the plan comes to: coverage, undetected walks, distances to alarms, ways out."""

from typing import TYPE_CHECKING

from asfitted.pages.quantity import told
from asfitted.pages.views.office_sum_tables import Row, Said, Table, TopicOfHome, nothing
from asfitted.pages.wording import counted, listed, sentence

if TYPE_CHECKING:
    from asfitted.reckon.alarm_field import RoomField
    from asfitted.reckon.coverage import Cover
    from asfitted.reckon.ways_out import WayOut


def coverage_told(of: TopicOfHome) -> Said:
    """Tell what each detector covers, and all of them of each room."""
    from asfitted.reckon.of_coverage import rooms_covered

    seen = of.dossier.reckoned.coverage
    if not seen.placed:
        return nothing("motion detector", seen.without_place), ()
    least = min(seen.placed, key=lambda one: one.cover.share)
    says = (
        f"{sentence(counted(len(seen.placed), 'motion detector', 'motion detectors'))}; the least is covered by "
        f"{least.tag}: {told(100 * least.cover.share, '%')} of the floor of the {of.room(least.room)}."
    )
    each = tuple(
        Row((one.tag, of.room(one.room), *_areas(one.cover)), anchor)
        for one, anchor in zip(seen.placed, of.anchors, strict=True)
    )
    rooms = rooms_covered(of.dossier.dwelling, seen)
    together = tuple(Row((sentence(of.room(room)), *_areas(cover))) for room, cover in rooms.items())
    areas = ("covered", "floor", "share", "widest circle not covered")
    return says, (
        Table("Each detector, of the floor of its own room", ("detector", "room", *areas), each),
        Table("Each room, by all detectors together", ("room", *areas), together),
    )


def _areas(cover: "Cover") -> tuple[str, ...]:
    blind = cover.blind
    return (
        told(float(cover.covered.area), "m²"),
        told(float(cover.floor.area), "m²"),
        told(100 * cover.share, "%"),
        told(2 * blind[1], "m") + " across" if blind else "none",
    )


def walks_told(of: TopicOfHome) -> Said:
    """Tell how far one gets before anything notices, and what entry time suits."""
    from asfitted.reckon.undetected import weakest

    known, anchors = of.dossier.reckoned, list(of.anchors)
    worst = weakest(known.walks)
    says = "Nothing is worked out: the record holds nothing worth reaching, or no opening that can be reached."
    if worst is not None:
        way = f"from {of.opening(worst.opening)} to {worst.goal}"
        says = (
            f"The weakest walk is {way}: nothing notices it over {told(worst.unseen, 'm')}."
            if worst.signal is None
            else f"The weakest walk is {way}: {told(worst.unseen, 'm')} before {worst.signal.by} notices it."
        )
    rows = tuple(
        Row(
            (
                sentence(of.opening(route.opening)),
                route.goal,
                told(route.walk.length, "m"),
                told(route.unseen, "m"),
                route.signal.by if route.signal else "nothing",
                told(one.working.result.value, "s"),
            ),
            anchor,
        )
        for route, (one, anchor) in zip(known.walks, of.sums, strict=False)
    )
    unseen = tuple(
        Row((sentence(of.opening(opening)), listed(reached)))
        for opening, reached in (known.unseen.items() if known.walks else ())
    )
    entries = tuple(
        Row(
            (
                sentence(of.opening(way.door)),
                way.keypad,
                told(way.walk.length, "m"),
                told(way.working.result.value, "s"),
                f"{told(way.set_to.value, 's')} ({way.set_to.origin})" if way.set_to else "not recorded",
            ),
            anchor,
        )
        for way, anchor in zip(known.entries, anchors[len(known.walks) :], strict=True)
    )
    return says, (
        Table(
            "The shortest walks",
            ("from", "to", "whole walk", "unnoticed", "first noticed by", "time before that"),
            rows,
        ),
        Table("Reached without being noticed, whatever way is taken", ("from", "reached"), unseen),
        Table("Entry time", ("door", "keypad", "walk", "suits", "as set"), entries),
    )


def field_told(of: TopicOfHome) -> Said:
    """Tell how far each room reaches from the nearest alarm."""
    fields = of.dossier.reckoned.field
    rows = tuple(
        Row((sentence(of.room(one.room)), told(one.far, "m"), _nearest(one)), anchor)
        for one, anchor in zip(fields, of.anchors, strict=True)
    )
    reached = [one for one in fields if one.inputs]
    if not reached:
        lost = fields[0].left_out if fields else ()
        return nothing("smoke or heat alarm in a room", lost), ()
    far = max(reached, key=lambda one: one.far)
    place = f"from {_nearest(far)}, in the {of.room(far.room)}"
    says = f"The point furthest from an alarm is {told(far.far, 'm')} {place}."
    cut = [of.room(one.room) for one in fields if not one.inputs]
    says += f" No way leads from an alarm to the {listed(cut)}." if cut else ""
    return says, (Table("The furthest point of each room", ("room", "furthest point", "from"), rows),)


def _nearest(one: "RoomField") -> str:
    anchor = one.field.nearest(one.point)
    return anchor.alarm if anchor else "no way to any alarm"


def ways_told(of: TopicOfHome) -> Said:
    """Tell the ways from the beds, and what the windows there lack."""
    known = of.dossier.reckoned
    rows = tuple(
        Row(
            (
                sentence(of.room(way.bed[0])),
                of.opening(way.exit),
                told(way.walk.length, "m"),
                told(way.round_kitchens.length, "m") if way.round_kitchens else "no way",
                listed(of.opening(key) for key in way.keys) if way.keys else "none",
            ),
            anchor,
        )
        for way, anchor in zip(known.ways, of.anchors, strict=True)
    )
    windows = tuple(
        Row(
            (
                sentence(of.opening(one.opening)),
                of.room(one.room),
                f"{told(one.width, 'm')} by {told(one.height, 'm') if one.height is not None else 'unknown'}",
                told(one.sill, "m"),
                told(one.above_ground, "m"),
                listed((*one.lacks, *(f"{what} is not recorded" for what in one.unknown))) or "nothing",
            )
        )
        for one in known.second_ways
    )
    says = "Nothing is worked out: the record names no room people sleep in, or no door that leads out."
    if known.ways:
        nearest: dict[object, WayOut] = {}
        for way in known.ways:
            nearest.setdefault(way.bed, way)
        far = max(nearest.values(), key=lambda way: way.walk.length)
        says = (
            f"The longest way out of a bed to its nearest door is {told(far.walk.length, 'm')}, "
            f"from the {of.room(far.bed[0])} to the {of.opening(far.exit)}."
        )
    heads = ("bed in", "door", "shortest way", "round kitchens", "needs a key")
    return says, (
        Table("Ways from the beds", heads, rows),
        Table(
            "Windows of the rooms people sleep in",
            (
                "window",
                "room",
                "whole window",
                "lower edge above floor",
                "above ground",
                "short of a window to climb out",
            ),
            windows,
            "Held against Approved Document B, volume 1 (2019), 2.10; the rule set of the home decides what counts.",
        ),
    )
