"""Tables of the export that say what is to be done: findings, tasks, variations; and homes that could not be used."""

from collections.abc import Iterable, Iterator

from asfitted.fleet.csv_text import Cell
from asfitted.fleet.load import Loaded
from asfitted.fleet.table import Column, Refers, Table, of_model
from asfitted.model.home import Variation
from asfitted.pages.dossier import Dossier
from asfitted.record.located import Located, show_path
from asfitted.rules.finding import Finding
from asfitted.upkeep.task import Task


def _findings(dossier: Dossier) -> Iterator[tuple[int, Finding, bool]]:
    devices = dossier.home.devices
    for number, finding in enumerate(dossier.findings, start=1):
        yield number, finding, finding.subject.kind == "device" and finding.subject.id in devices


def _room(finding: Finding) -> str | None:
    subject = finding.subject
    return subject.id if subject.kind == "room" else subject.room


FINDINGS: Table[tuple[int, Finding, bool]] = Table(
    "finding",
    "what one rule says about one device, room, opening, storey or the home",
    (
        Column("number", "whole", "counted from 1 in the order of the office's pages", lambda item: item[0]),
        Column("rule", "text", "id of the rule", lambda item: item[1].rule.id),
        Column("title", "text", "what the rule is about", lambda item: item[1].rule.title),
        Column("verdict", "text", "conforms, borderline, does not conform, ...", lambda item: item[1].verdict.value),
        Column(
            "severity", "text", "what kind of demand it is: law, code or advice", lambda item: item[1].limit.severity
        ),
        Column("subject_kind", "text", "device, room, opening, storey or home", lambda item: item[1].subject.kind),
        Column("subject", "text", "tag or id of what it is about", lambda item: item[1].subject.id),
        Column("device", "text", "the tag, where it is about a device", lambda i: i[1].subject.id if i[2] else None),
        Column("room", "text", "the room it is about or shows in", lambda item: _room(item[1])),
        Column("found", "real", "the figure found, in the column unit", lambda item: _rounded(item[1].found)),
        Column("least", "real", "the least that is asked for", lambda item: item[1].limit.least),
        Column("most", "real", "the most that is allowed", lambda item: item[1].limit.most),
        Column(
            "unit", "text", "unit of the figures; nothing where the rule has none", lambda i: i[1].limit.unit or None
        ),
        Column("margin", "real", "how far on the good side of the limit", lambda item: _rounded(item[1].margin)),
        Column("tolerance", "real", "what the measurement may be out by", lambda item: _rounded(item[1].tolerance)),
        Column("limit_of", "text", "the rule set the limit is from", lambda item: item[1].limit.rule_set),
        Column("source", "text", "what the limit rests on", lambda item: item[1].limit.source.title),
        Column("status", "text", "how the limit is known: read, from memory, ...", lambda item: item[1].limit.status),
    ),
    ("number",),
    _findings,
    (Refers(("home",), "home"), Refers(("home", "device"), "device"), Refers(("home", "room"), "room")),
)


def _rounded(value: float | None) -> Cell:
    return None if value is None else round(value, 6)


def _tasks(dossier: Dossier) -> Iterator[Task]:
    yield from dossier.tasks


TASKS: Table[Task] = Table(
    "task",
    "one thing to do, next due on one day",
    (
        Column("task", "text", "name of the task that stays from day to day", lambda task: task.id),
        Column("interval", "text", "kind of task", lambda task: task.interval.id),
        Column("title", "text", "what is to be done", lambda task: task.interval.title),
        Column("device", "text", "tag of the device; nothing for the system as a whole", lambda task: task.tag),
        Column("who", "text", "household or technician", lambda task: task.interval.who),
        Column("last_done", "day", "the day it was last done; nothing if never", lambda task: task.last),
        Column("earliest", "day", "the first day on which doing it counts", lambda task: task.earliest),
        Column("due", "day", "the day it is next due", lambda task: task.due),
        Column("latest", "day", "the last day on which doing it is in time", lambda task: task.latest),
        Column("comes_once", "truth", "1 for what comes once, such as the end of a life", lambda task: task.once),
    ),
    ("task",),
    _tasks,
    (Refers(("home",), "home"), Refers(("home", "device"), "device")),
)


def _variations(dossier: Dossier) -> Iterator[tuple[int, Variation]]:
    yield from enumerate(dossier.home.variations, start=1)


VARIATIONS: Table[tuple[int, Variation]] = Table(
    "variation",
    "a departure from a rule, agreed in writing; its reason stands in the record",
    (
        Column("number", "whole", "counted from 1 through the record", lambda item: item[0]),
        *of_model(Variation, "rule", "device", "room", "opening", "agreed", of=lambda item: item[1]),
        Column("agreed_on", "day", "the day it was agreed", lambda item: item[1].on),
        *of_model(Variation, "until", of=lambda item: item[1]),
    ),
    ("number",),
    _variations,
    (
        Refers(("home",), "home"),
        Refers(("home", "device"), "device"),
        Refers(("home", "room"), "room"),
        Refers(("home", "opening"), "opening"),
    ),
)


def _nothing(_: Dossier) -> Iterable[tuple[int, Located]]:
    return ()


UNUSABLE: Table[tuple[int, Located]] = Table(
    "unusable",
    "one trouble of a record that cannot be used; such a home is in no other table",
    (
        Column("number", "whole", "counted from 1 through the record", lambda item: item[0]),
        Column("line", "whole", "line of the record", lambda item: item[1].mark[0]),
        Column(
            "place", "text", "keys and list positions from the root", lambda i: show_path(i[1].problem.path) or None
        ),
        Column("found", "text", "what stands there", lambda item: item[1].problem.found),
        Column("expected", "text", "what should", lambda item: item[1].problem.expected),
        Column("remedy", "text", "what to do", lambda item: item[1].problem.remedy or None),
    ),
    ("number",),
    _nothing,
)


def unusable_rows(loaded: Loaded) -> Iterator[tuple[Cell, ...]]:
    """Give the rows of the table ``unusable`` for a home without a dossier."""
    for item in enumerate(loaded.troubles, start=1):
        yield loaded.id, *(column.get(item) for column in UNUSABLE.columns)
