"""By how much a result may be out, from how much each input may be out."""

from collections.abc import Mapping
from math import hypot

from asfitted.reckon.working import Input, Model, sensitivity


def uncertainty(model: Model, inputs: Mapping[str, Input]) -> float:
    """Give by how much a result may be out: half of each input's swing, squared, added, and the root taken.

    The law of propagation for inputs that do not depend on each other (JCGM 100:2008, 5.1.2), with the swing itself
    in place of the derivative (5.1.3, note 2).
    """
    return hypot(*(swing.size / 2 for swing in sensitivity(model, inputs)))
