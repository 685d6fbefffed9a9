"""The figure a rule asks for where it depends on the very thing, or on how the alarm is made.

A beam is deep or shallow by the options ``deep-share`` (of the height of the ceiling, at its highest: no source says
which height of a slope it means) or ``deep-over`` (metres). A deep one is a wall; a shallow one is kept clear of by
``shallow-times`` its depth, and not at all where it is no deeper than ``ignored-to``. An ionisation smoke alarm without
a silence button keeps ``ionisation`` metres from a cooker.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from asfitted.dwelling.shapes import RoomShape
from asfitted.model.building import Fitting
from asfitted.model.device import Device
from asfitted.rules.catalogue import Limit, Rule, sources
from asfitted.rules.obstacles import Obstacle

_EXACT = 1e-9


def limit_for(rule: Rule, limit: Limit, obstacle: Obstacle, room: RoomShape, device: Device | None) -> Limit | None:
    """Give the limit a rule sets for one thing and one alarm; None where the thing does not count.

    A beam whose depth is not recorded counts as a deep one. An alarm that is not fitted yet counts as optical.
    """
    fitting, options = obstacle.fitting, rule.options
    if fitting is not None and fitting.kind == "beam":
        return _of_beam(limit, fitting, room.ceiling.high, options)
    if device is not None and device.sensing == "ionisation" and not device.silences and "ionisation" in options:
        source = sources()[options["ionisation-source"]]
        return replace(
            limit, least=options["ionisation"], printed=options["ionisation-printed"], source=source, clause=""
        )
    return limit


def is_deep(depth: float, height: float, options: Mapping[str, Any]) -> bool:
    """Tell whether a beam counts as a wall; never where the rule set does not say from what depth."""
    share, over = options.get("deep-share"), options.get("deep-over")
    return bool((share is not None and depth > share * height + _EXACT) or (over is not None and depth > over + _EXACT))


def _of_beam(limit: Limit, fitting: Fitting, height: float, options: Mapping[str, Any]) -> Limit | None:
    depth = fitting.depth
    if depth is None or is_deep(depth, height, options):
        return limit
    if depth <= options.get("ignored-to", 0.0) + _EXACT:
        return None
    if (times := options.get("shallow-times")) is None:
        return limit
    return replace(limit, least=times * depth, printed=f"{times:g} times its depth of {depth:.2f} m")
