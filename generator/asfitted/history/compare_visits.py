"""What changed of the visits, which are append-only, and of the variations."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from asfitted.history.changes import Change, Kind
from asfitted.history.parts import on_list, retagged_variation, retagged_visit, same, same_field
from asfitted.history.side import Side
from asfitted.history.wording import field_words, spaced, stopped, turned, value_words
from asfitted.model.base import key_of
from asfitted.model.home import Variation
from asfitted.model.visit import Test, Visit

_HEAD = ("date", "kind", "by", "tests", "not_tested", "corrects")


def visit_changes(
    old: Sequence[Visit], new: Sequence[Visit], tags: Mapping[str, str], rooms: Mapping[str, str]
) -> Iterator[Change]:
    """Compare the visits of two revisions; what was written of a past day and is other now is flagged.

    Args:
        old: the visits of the earlier revision.
        new: those of the later one.
        tags: the later tag of every earlier one, so that a device that only changed its tag is no edit.
        rooms: the later id of every earlier room, for the same reason.
    """
    gone = list(old)
    come = []
    for visit in new:
        twin = next((other for other in gone if same(_renamed(other, tags, rooms), visit)), None)
        twin = twin or next((other for other in gone if same(other, visit)), None)  # written as before: not edited
        if twin is None:
            come.append(visit)
        else:
            gone.remove(twin)
    kept_last = max((visit.date for visit in old if visit not in gone), default=None)
    for visit in gone:
        after = _edited(_renamed(visit, tags, rooms), come)
        if after is None:
            yield _deleted(visit, retagged_visit(visit, tags))
        else:
            come.remove(after)
            yield _edit(visit, retagged_visit(visit, tags), _renamed(visit, tags, rooms), after)
    for visit in come:
        yield _added(visit, kept_last)


def visit_name(visit: Visit) -> str:
    """Give what a visit is called: ``service of 2024-05-21``."""
    return f"{visit.kind} of {visit.date}"


def visit_text(visit: Visit) -> str:
    """Write a visit in full, one line a device."""
    head = f"{visit_name(visit)} by {visit.by}"
    if visit.corrects:
        head += f", corrects {visit.corrects}"
    rest = value_words(visit, _HEAD)
    lines = [head, *([rest] if rest else [])]
    lines += [f"{tag}: {value_words(test) or 'nothing recorded'}" for tag, test in visit.tests.items()]
    lines += [f"not tested: {value_words(item)}" for item in visit.not_tested]
    return "\n".join(lines)


def _renamed(visit: Visit, tags: Mapping[str, str], rooms: Mapping[str, str]) -> Visit:
    """Give a visit with the later tags and ids in place of the earlier ones."""
    visit = retagged_visit(visit, tags)
    tests = {tag: _in_rooms(test, rooms) for tag, test in visit.tests.items()}
    return visit if tests == visit.tests else visit.model_copy(update={"tests": tests})


def _in_rooms(test: Test, rooms: Mapping[str, str]) -> Test:
    if not test.level or all(rooms.get(room, room) == room for room in test.level):
        return test
    return test.model_copy(update={"level": {rooms.get(room, room): level for room, level in test.level.items()}})


def _edited(visit: Visit, come: Sequence[Visit]) -> Visit | None:
    """Give the visit that took the place of one that is no longer there as it was."""
    tests = (
        lambda other: other.date == visit.date and other.kind == visit.kind,
        lambda other: other.date == visit.date and other.by == visit.by,
        lambda other: same(other.model_copy(update={"date": visit.date}), visit),
        lambda other: bool(visit.tests) and other.tests == visit.tests,
    )
    return next((other for test in tests for other in come if test(other)), None)


def _edit(old: Visit, kept: Visit, renamed: Visit, new: Visit) -> Change:
    told = "; ".join(_differences(renamed, new))
    name = f"visit of {old.date}"
    says = stopped(f"The {visit_name(old)} was edited after the fact: {told}")
    touched = {tag for tag in {*renamed.tests, *new.tests} if renamed.tests.get(tag) != new.tests.get(tag)}
    return Change(
        Kind.PAST_VISIT_EDITED, name, says, visit_text(old), visit_text(new), tuple(sorted(touched)),
        apply=on_list("visits", kept, new),
    )  # fmt: skip


def _differences(old: Visit, new: Visit) -> Iterator[str]:
    for tag in dict.fromkeys([*old.tests, *new.tests]):
        yield from _test_differences(tag, old.tests.get(tag), new.tests.get(tag))
    for name in Visit.model_fields:
        if name != "tests" and not same_field(old, new, name):
            yield f"{spaced(key_of(name))} {turned(field_words(old, name), field_words(new, name))}"


def _test_differences(tag: str, old: Test | None, new: Test | None) -> Iterator[str]:
    if new is None:
        yield f"the test of {tag} was taken out ({value_words(old) if old else ''})"
    elif old is None:
        yield f"a test of {tag} was put in ({value_words(new)})"
    else:
        for name in Test.model_fields:
            if not same_field(old, new, name):
                words = turned(field_words(old, name), field_words(new, name))
                yield f"{tag} {spaced(key_of(name))} {words}"


def _deleted(visit: Visit, kept: Visit) -> Change:
    says = f"The {visit_name(visit)} by {visit.by} was deleted."
    return Change(
        Kind.PAST_VISIT_DELETED, f"visit of {visit.date}", says, visit_text(visit), "", tuple(visit.tests),
        apply=on_list("visits", kept, None),
    )  # fmt: skip


def _added(visit: Visit, last: date | None) -> Change:
    done = (
        f"{len(visit.tests)} device{'s' if len(visit.tests) != 1 else ''} tested" if visit.tests else "nothing tested"
    )
    says = f"{visit_name(visit).capitalize()} by {visit.by}: {done}"
    kind = Kind.VISIT_ADDED
    if visit.corrects:
        says = f"Correction of {visit.date} by {visit.by}, of the visit of {visit.corrects}: {done}"
    if last is not None and visit.date < last:
        kind = Kind.VISIT_INSERTED
        says = f"{says}; put in among past visits, the last of which was on {last}"
    if visit.not_tested:
        says = f"{says}, {len(visit.not_tested)} not tested"
    return Change(
        kind, f"visit of {visit.date}", f"{says}.", "", visit_text(visit), tuple(visit.tests),
        apply=on_list("visits", None, visit),
    )  # fmt: skip


def variation_changes(old: Side, new: Side, tags: Mapping[str, str], rooms: Mapping[str, str]) -> Iterator[Change]:
    """Compare the variations of two revisions, and find those that lapsed between their days."""
    gone, come = list(old.home.variations), []
    for agreed in new.home.variations:
        twin = next((other for other in gone if same(_moved(other, tags, rooms), agreed)), None)
        if twin is None:
            come.append(agreed)
            continue
        gone.remove(twin)
        if agreed.until and min(old.day, new.day) <= agreed.until < max(old.day, new.day):
            yield _lapsed(agreed, forward=old.day < new.day)
    for agreed in gone:
        was = _moved(agreed, tags, rooms)
        after = next((other for other in come if _about(other) == _about(was)), None)
        if after is None:
            says = f"The variation about {_about_words(agreed)}, agreed on {agreed.on}, was withdrawn."
            yield _change(Kind.VARIATION_WITHDRAWN, agreed, says, agreed, None, tags)
            continue
        come.remove(after)
        fields = (name for name in Variation.model_fields if not same_field(was, after, name))
        told = "; ".join(f"{name} {turned(field_words(was, name), field_words(after, name))}" for name in fields)
        says = stopped(f"The variation about {_about_words(after)} was changed: {told}")
        yield _change(Kind.VARIATION, after, says, agreed, after, tags)
    for agreed in come:
        until = f", until {agreed.until}" if agreed.until else ""
        says = f"Variation about {_about_words(agreed)}, agreed by {agreed.agreed} on {agreed.on}{until}: {agreed.why}"
        yield _change(Kind.VARIATION_ADDED, agreed, stopped(says), None, agreed, tags)


def _change(
    kind: Kind, agreed: Variation, says: str, old: Variation | None, new: Variation | None, tags: Mapping[str, str]
) -> Change:
    before, after = value_words(old) if old else "", value_words(new) if new else ""
    names = tuple(name for name in (agreed.device, agreed.room, agreed.opening) if name)
    kept = retagged_variation(old, tags) if old else None
    return Change(kind, _subject(agreed), says, before, after, names, apply=on_list("variations", kept, new))


def _lapsed(agreed: Variation, *, forward: bool) -> Change:
    names = tuple(name for name in (agreed.device, agreed.room, agreed.opening) if name)
    about, words = _about_words(agreed), value_words(agreed)
    if forward:
        says = f"The variation about {about} lapsed: it was agreed until {agreed.until}."
        return Change(Kind.VARIATION_LAPSED, _subject(agreed), says, words, words, names)
    says = f"The variation about {about}, agreed until {agreed.until}, had not yet lapsed."
    return Change(Kind.VARIATION_REVIVED, _subject(agreed), says, words, words, names)


def _subject(agreed: Variation) -> str:
    return " ".join(filter(None, (agreed.rule, agreed.device or agreed.room or agreed.opening)))


def _about_words(agreed: Variation) -> str:
    about = agreed.device or agreed.room or agreed.opening
    return f"{agreed.rule} for {about}" if about else agreed.rule


def _about(agreed: Variation) -> tuple[str | None, ...]:
    return agreed.rule, agreed.device, agreed.room, agreed.opening


def _moved(agreed: Variation, tags: Mapping[str, str], rooms: Mapping[str, str]) -> Variation:
    device, room = agreed.device, agreed.room
    update = {"device": tags.get(device, device) if device else None, "room": rooms.get(room, room) if room else None}
    return agreed.model_copy(update=update)
