"""The examples of a rule as its page shows them: what a technician types, and what the tool says of it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import cache

from asfitted.drawing.drawing import Drawing
from asfitted.rules.case import Case
from asfitted.rules.catalogue import Rule, catalogue
from asfitted.rules.examples import Example, Examples, case_of, examples, judged
from asfitted.rules.finding import Finding, Subject, Verdict
from asfitted.rules.judge import NEVER_VARIED

SHOWN = (Verdict.CONFORMS, Verdict.BORDERLINE, Verdict.FAILS, Verdict.NOT_VERIFIED, Verdict.NOT_APPLICABLE)
DRAWN = (Verdict.FAILS, Verdict.BORDERLINE, Verdict.NOT_VERIFIED)
"""The verdicts of which one is drawn, the first that a drawing can show something of."""
_AGREED = 'agreed: the householder, on: {on}, why: "the reason"'
_NEVER_LAW = "What the law asks cannot be agreed away, so a variation changes nothing here."
_LISTS = ("fittings", "stairs", "visits", "variations")
_ADDED = {"home": "home", "front_door": "the front door", "window": "the window"}
_ROOM = "the living room"


@dataclass(frozen=True, slots=True)
class Shown:
    """One example: its verdict, the record, what the tool says and advises; or why there is none of that verdict."""

    verdict: Verdict
    record: str = ""
    rules: str = ""
    says: str = ""
    remedy: str = ""
    note: str = ""
    never: str = ""


@dataclass(frozen=True, slots=True)
class Judged:
    """The examples of a rule, judged, and a drawing of the one that falls short, if the rule is about a place."""

    shown: tuple[Shown, ...] = ()
    drawing: Drawing | None = None


@cache
def judged_examples(rule_id: str) -> Judged:
    """Judge the examples of a rule that comes with the program; a rule of a firm's own has none."""
    rule = catalogue().rules.get(rule_id)
    given = examples().get(rule_id, Examples())
    if rule is None or not (given.given or given.never):
        return Judged()
    shown, drawn = [], {}
    for verdict in SHOWN:
        of_verdict = [example for example in given.given if example.verdict is verdict]
        if verdict in given.never:
            shown.append(Shown(verdict, never=given.never[verdict]))
        for number, example in enumerate(of_verdict):
            case, finding = _judged(example)
            shown.append(_shown(example, case, finding))
            if not number:
                drawn[verdict] = case, finding
            if verdict is Verdict.FAILS and not number:
                shown += _varied(rule, example, case, finding)
    drawings = (_drawing(*drawn[verdict]) for verdict in DRAWN if verdict in drawn)
    in_order = sorted(shown, key=lambda item: _ORDER.index(item.verdict))
    return Judged(tuple(in_order), next((drawing for drawing in drawings if drawing), None))


_ORDER = (
    Verdict.CONFORMS, Verdict.FAILS, Verdict.VARIATION, Verdict.BORDERLINE, Verdict.NOT_VERIFIED,
    Verdict.NOT_APPLICABLE,
)  # fmt: skip


def _judged(example: Example) -> tuple[Case, Finding | None]:
    case = case_of(example.text, example.on)
    return case, next((f for f in judged(case, example.rule) if f.subject.id == example.about), None)


def _shown(example: Example, case: Case, finding: Finding | None) -> Shown:
    return Shown(
        verdict=finding.verdict if finding else example.verdict,
        record=record_text(example.parts),
        rules=case.rules.name,
        says=finding.says if finding else "",
        remedy=finding.remedy if finding else "",
        note=example.note,
    )


def _varied(rule: Rule, example: Example, case: Case, finding: Finding | None) -> Iterator[Shown]:
    """Give what becomes of the example that falls short once it was agreed in writing."""
    if finding is None:
        return
    if finding.limit.severity == NEVER_VARIED:
        yield Shown(Verdict.VARIATION, never=_NEVER_LAW)
        return
    about = _named(finding.subject, case)
    agreed = f"{{rule: {rule.id}, {about}{_AGREED.format(on=example.on - timedelta(days=1))}}}"
    parts = {**example.parts, "variations": ", ".join(filter(None, (example.parts.get("variations", ""), agreed)))}
    varied = replace(example, parts=parts)
    agreed_on, again = _judged(varied)
    if again is not None and again.verdict is Verdict.VARIATION:
        shown = _shown(varied, agreed_on, again)
        yield replace(shown, record=record_text({"variations": agreed}), note="The same home, once it was agreed.")


def _named(subject: Subject, case: Case) -> str:
    """Give what a variation names: the device, or the room; for a storey, one of its rooms."""
    if subject.kind in ("device", "opening"):
        return f"{subject.kind}: {subject.id}, "
    of_storey = (room.id for room in case.dwelling.rooms.values() if room.storey == subject.id)
    room = next(of_storey, None) if subject.kind == "storey" else subject.room
    return f"room: {room}, " if room else ""


def _drawing(case: Case, finding: Finding | None) -> Drawing | None:
    """Draw the room of a finding that a drawing can show something of."""
    if finding is None or finding.mark is None or finding.subject.room is None:
        return None
    from asfitted.drawing.drawing import TitleBlock
    from asfitted.drawing.room import room_diagram

    block = TitleBlock(case.home.home.label, "", finding.rule.title, "an example", case.on)
    return room_diagram(case.dwelling, finding.subject.room, case.home, block, [finding])


def record_text(parts: Mapping[str, str]) -> str:
    """Write the parts of an example that differ from the small house, as a technician types them."""
    return "\n".join(line for name, value in parts.items() for line in _lines(name, value) if name != "rules")


def _lines(name: str, value: object) -> Iterator[str]:
    if isinstance(value, list | tuple):
        yield f"{name}:"
        yield from (f"  - {item}" for item in value)
        return
    text = str(value).strip("\n")
    if name == "devices":
        yield "devices:"
        yield from (f"  {item}" for item in split(text))
    elif name in _LISTS:
        yield f"{name}:"
        yield from (f"  - {item}" for item in split(text))
    elif name in _ADDED:
        yield f"# {_ADDED[name]}: {{..., {text.lstrip(', ')}}}"
    elif name == "use":
        yield f"# {_ROOM}: {{use: {text}}}"
    elif "\n" in str(value) or name in ("rooms", "openings", "storeys"):
        yield f"{name}:"
        yield from text.split("\n")
    else:
        yield f"{name}: {text}"


def split(flow: str) -> list[str]:
    """Part flow YAML at the commas that stand in no bracket and no quotes."""
    parts, depth, quotes, start = [], 0, "", 0
    for place, character in enumerate(flow):
        if quotes:
            quotes = "" if character == quotes else quotes
        elif character in "\"'":
            quotes = character
        elif character in "{[":
            depth += 1
        elif character in "}]":
            depth -= 1
        elif character == "," and not depth:
            parts.append(flow[start:place].strip())
            start = place + 1
    return [part for part in (*parts, flow[start:].strip()) if part]
