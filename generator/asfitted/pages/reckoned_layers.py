"""What is reckoned of a home as layers of its plans: for a calculation's own pictures, and for plans with layers."""

from collections.abc import Callable, Iterator, Mapping

from asfitted.drawing.ground import Layer
from asfitted.language import to_say
from asfitted.pages.dossier import Dossier
from asfitted.reckon.sums import Topic

Layers = Iterator[tuple[str, Layer | None]]


def layers_of(topic: Topic, dossier: Dossier) -> dict[str, Layer]:
    """Give the layer of a topic on every storey, by the storey's id, where there is something to show."""
    return {storey: layer for storey, layer in _LAYERS[topic](dossier) if layer}


def _coverage(dossier: Dossier) -> Layers:
    from asfitted.drawing.cover import coverage_layer
    from asfitted.reckon.of_coverage import rooms_covered

    home, dwelling, detectors = dossier.home, dossier.dwelling, dossier.reckoned.coverage
    covers = rooms_covered(dwelling, detectors)
    for storey in dwelling.storeys:
        yield storey.id, coverage_layer(dwelling, storey.id, home, detectors, covers)


def _field(dossier: Dossier) -> Layers:
    from asfitted.drawing.cover import alarm_layer

    for storey in dossier.dwelling.storeys:
        yield storey.id, alarm_layer(dossier.dwelling, storey.id, dossier.home, dossier.reckoned.field)


def _radio(dossier: Dossier) -> Layers:
    from asfitted.drawing.radio import is_weak, radio_layer
    from asfitted.reckon.radio_moves import best_move

    home, dwelling, radio = dossier.home, dossier.dwelling, dossier.reckoned.radio
    limit = dossier.rules.limits.get("radio-margin")
    least = (limit.least or 0.0) if limit else 0.0
    weak = any(is_weak(link, least) for link in radio.links)
    move = best_move(home, dwelling, radio, "repeater") if weak else None
    for storey in dwelling.storeys:
        yield storey.id, radio_layer(dwelling, storey.id, home, radio, least, move)


def _sound(dossier: Dossier) -> Layers:
    from asfitted.drawing.sound import sound_layer

    for storey in dossier.dwelling.storeys:
        yield storey.id, sound_layer(dossier.dwelling, storey.id, dossier.home, dossier.reckoned.sound)


def _ways(dossier: Dossier) -> Layers:
    from asfitted.drawing.ways_out import ways_out_layer

    known = dossier.reckoned
    for storey in dossier.dwelling.storeys:
        yield storey.id, ways_out_layer(dossier.dwelling, storey.id, dossier.home, known.ways, known.second_ways)


_LAYERS: Mapping[Topic, Callable[[Dossier], Layers]] = {
    "coverage": _coverage,
    "alarm-field": _field,
    "radio": _radio,
    "sound": _sound,
    "ways-out": _ways,
}

SUBJECTS: Mapping[Topic, str] = {
    "coverage": to_say("motion detectors"),
    "alarm-field": to_say("distance to alarms"),
    "radio": to_say("radio links"),
    "sound": to_say("sound at the beds"),
    "ways-out": to_say("ways out"),
}
"""The topics that are a layer of a plan, from the lowest up, and what a title block says of each."""
