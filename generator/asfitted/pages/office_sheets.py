"""The technician's sheets of a home and its evidence: an index, a page for each sheet, and their drawings."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from asfitted.pages.dossier import Dossier
from asfitted.pages.figures import Figure, plans
from asfitted.pages.render import render
from asfitted.pages.views.office_evidence import limits_of_evidence
from asfitted.pages.views.office_rooms import unplaced
from asfitted.pages.views.office_visits import evidence
from asfitted.pages.views.sheet_commissioning import Commissioning, commissioning
from asfitted.pages.views.sheet_drilling import SPARE, RoomSheet, drilling
from asfitted.pages.views.sheet_fixing import Fixing, fixing
from asfitted.pages.views.sheet_service import Service, service
from asfitted.pages.views.sheet_survey import Survey, survey_sheet
from asfitted.pages.views.sheet_words import lines
from asfitted.pages.wording import counted

STYLE = "assets/sheets.css"
"""The stylesheet of the sheets, from the documents folder."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A sheet in the index: its page, its title, what it is for, and how much is on it."""

    page: str
    title: str
    says: str
    amount: str


def sheet_pages(
    dossier: Dossier,
    shared: Mapping[str, object],
    rooms: Mapping[str, Sequence[Figure]],
) -> dict[str, str | bytes]:
    """Write the sheets of a home, by their path in its folder.

    Args:
        dossier: the home.
        shared: what every page of the home shows.
        rooms: its rooms as drawn for a page beside the folder of drawings.
    """
    survey, drills, fix = survey_sheet(dossier), drilling(dossier), fixing(dossier)
    commission, serve = commissioning(dossier), service(dossier)
    without = unplaced(dossier)
    plain = [replace(plan, file=plan.file.replace("/", "/survey-")) for plan in plans(dossier)]
    tree: dict[str, str | bytes] = {
        "sheets.md": render("office/sheets.md", entries=_entries(survey, drills, fix, commission, serve), **shared),
        "sheets/survey.md": render("office/survey.md", sheet=survey, plans=plain, **shared),
        "sheets/drilling.md": render(
            "office/drilling.md",
            rooms=drills,
            drawings=rooms,
            unplaced=without,
            spare=SPARE,
            cautions=lines("drilling", "cautions"),
            **shared,
        ),
        "sheets/fixing.md": render("office/fixing.md", sheet=fix, order=lines("fixing", "order"), **shared),
        "sheets/commissioning.md": render("office/commissioning.md", sheet=commission, **shared),
        "sheets/service.md": render("office/service.md", sheet=serve, **shared),
        "evidence.md": render(
            "office/evidence.md", matrices=evidence(dossier), limits=limits_of_evidence(dossier), **shared
        ),
    }
    drawn = [*plain, *(figure for room in drills for figure in room.zones)]
    return tree | {figure.file.removeprefix("../"): figure.drawing.alone for figure in drawn}


def _entries(
    survey: Survey, drills: Sequence[RoomSheet], fix: Fixing, commission: Commissioning, serve: Service
) -> tuple[Entry, ...]:
    questions = sum(len(about.findings) for about in survey.questions)
    devices = sum(len(part.devices) for part in fix.parts)
    due = len(serve.overdue) + len(serve.due)
    return (
        Entry(
            "survey",
            "Survey",
            "What is still to be measured or asked before places are chosen.",
            f"{counted(survey.open, 'blank', 'blanks')}, {counted(questions, 'question', 'questions')} of the rules",
        ),
        Entry(
            "drilling",
            "Drilling",
            "Room by room: each place by two tapes and its height, where else it may go, and what to keep clear of.",
            counted(len(drills), "room", "rooms"),
        ),
        Entry(
            "fixing",
            "Fixing and enrolling",
            "Every device in the order of work, how it is set, and what the record does not say of it yet.",
            f"{counted(devices, 'device', 'devices')}, {counted(fix.undone, 'step', 'steps')} not recorded as done",
        ),
        Entry(
            "commissioning",
            "Commissioning",
            "What is not verified first, then every test with its last reading.",
            f"{commission.open or 'nothing'} not verified",
        ),
        Entry(
            "service",
            "Next service",
            "What is due, what to bring, what to measure again, what is open.",
            f"{counted(due, 'task', 'tasks')} due, {counted(len(serve.overdue), 'of them', 'of them')} overdue"
            if due
            else "nothing due",
        ),
    )
