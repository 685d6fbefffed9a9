"""What was done at each visit, in plain words."""

from dataclasses import dataclass
from datetime import date

from asfitted.language import say, say_many
from asfitted.model.photo import Photo
from asfitted.model.visit import Visit
from asfitted.pages.dossier import Dossier
from asfitted.pages.wording import KindWords, kinds, result_words, sentence, visit_words


@dataclass(frozen=True, slots=True)
class Tested:
    """Devices of one kind whose tests showed the same. ``here`` is False for what has since been taken away."""

    tags: tuple[str, ...]
    name: str
    said: str
    worked: bool | None
    here: bool


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One visit; ``own`` where the household tested by itself."""

    day: date
    what: str
    by: str
    tested: tuple[Tested, ...]
    not_tested: tuple[tuple[str, str], ...]
    handed_over: tuple[str, ...]
    shown_to: str
    report: date | None
    corrects: date | None
    note: str
    own: bool
    photos: tuple[Photo, ...]


def visit_lines(dossier: Dossier) -> tuple[VisitLine, ...]:
    """Give every visit made by the day of the pages, the latest first."""
    made = [visit for visit in dossier.home.visits if visit.date <= dossier.on]
    return tuple(_line(dossier, visit) for visit in sorted(made, key=lambda visit: visit.date, reverse=True))


def _line(dossier: Dossier, visit: Visit) -> VisitLine:
    return VisitLine(
        day=visit.date,
        what=visit_words(visit.kind),
        by=visit.by,
        tested=_tested(dossier, visit),
        not_tested=tuple((_what(item.device, item.what), item.why) for item in visit.not_tested),
        handed_over=visit.handed_over,
        shown_to=visit.shown_to or "",
        report=visit.report,
        corrects=visit.corrects,
        note=visit.note or "",
        own=visit.kind == "household test",
        photos=visit.photos,
    )


def _tested(dossier: Dossier, visit: Visit) -> tuple[Tested, ...]:
    devices = dossier.home.devices
    alike: dict[tuple[KindWords | None, str, bool | None], list[str]] = {}
    for tag, test in visit.tests.items():
        words = kinds()[devices[tag].kind] if tag in devices else None
        said = sentence("; ".join(result_words(test))) or say("Looked at")
        alike.setdefault((words, said, test.outcome), []).append(tag)
    return tuple(
        Tested(tuple(tags), _named(words, len(tags)), said, worked, words is not None)
        for (words, said, worked), tags in alike.items()
    )


def _named(words: KindWords | None, count: int) -> str:
    if words is None:
        return say("Taken away since")
    if count == 1:
        return sentence(words.called)
    several = sentence(say_many(words.name, words.plural, count))
    return say("{devices}, each", devices=several)


def _what(tag: str | None, what: str) -> str:
    return f"{tag}: {what}" if tag else sentence(what)
