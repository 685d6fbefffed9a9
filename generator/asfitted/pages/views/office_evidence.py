"""The evidence of a home for an auditor: what the last readings cannot show, of this home and of any."""

from collections.abc import Iterator

from asfitted.model.standing import standing
from asfitted.pages.dossier import Dossier
from asfitted.pages.views.office_visits import last_readings
from asfitted.pages.views.sheet_words import lines
from asfitted.pages.wording import counted, listed, sentence


def limits_of_evidence(dossier: Dossier) -> tuple[str, ...]:
    """Say what the record cannot show: first what is so of this home, then what is so of every record."""
    return (*_of_home(dossier), *lines("evidence", "limits"))


def _of_home(dossier: Dossier) -> Iterator[str]:
    devices, latest = dossier.home.devices, last_readings(dossier)
    visits = standing(dossier.home.visits, dossier.on)
    if not visits:
        yield "No visit has been written down, so nothing of this home is shown by a test."
    untested = [tag for tag in devices if any(cell.missing for cell in latest[tag].values())]
    if untested and visits:
        yield f"A reading that would prove it has never been taken of {listed(untested)}."
    if undated := [tag for tag, device in devices.items() if device.fitted is None and latest[tag] and visits]:
        yield (
            f"The day of fitting is not recorded of {listed(undated)}: a reading may have been taken of an earlier "
            "device with the same tag."
        )
    if own := sum(visit.kind == "household test" for visit in visits):
        yield sentence(f"{counted(own, 'entry is', 'entries are')} the household’s own word for its own test.")
    if gone := sorted({tag for visit in visits for tag in visit.tests} - devices.keys()):
        yield f"What was read of {listed(gone)}, taken away since, stands with its visit only."
