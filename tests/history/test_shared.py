"""What is shared to be quick gives what is worked out afresh."""

from collections.abc import Iterator
from datetime import date
from functools import cached_property
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from asfitted.dwelling.survey import survey
from asfitted.history.beside import READS, reckoned_beside, shapes_beside
from asfitted.history.changes import unchanged
from asfitted.history.compare_home import compare_home
from asfitted.history.last_touch import revision_of, revisions_of
from asfitted.history.side import Side
from asfitted.history.trees import differing
from asfitted.history.trial import Trial, by_key
from asfitted.model.base import Value
from asfitted.model.home import Home
from asfitted.reckon.of_home import Reckoned
from asfitted.record.reader import read
from asfitted.rules.catalogue import catalogue
from tests.conftest import THOROUGH
from tests.history.homes import DAY, side, text
from tests.history.repos import Repo
from tests.history.test_kinds import EDITS

ROOT = Path(__file__).parents[2]
names = st.text("ab40-", min_size=1, max_size=9)
ids = st.binary(min_size=20, max_size=20)
listings = st.dictionaries(names, st.tuples(st.sampled_from(["40000", "100644"]), ids), max_size=40)


def listing(entries: dict[str, tuple[str, bytes]]) -> bytes:
    return b"".join(f"{mode} {name}\0".encode() + id_ for name, (mode, id_) in sorted(entries.items()))


@settings(max_examples=60 if THOROUGH else 20, deadline=None)
@given(listings, listings, st.integers(0, 3))
def test_entries_that_differ_are_those_of_two_listings_taken_apart_whole(
    a: dict[str, tuple[str, bytes]], b: dict[str, tuple[str, bytes]], few: int
) -> None:
    b = {**a, **dict(list(b.items())[:few])} if few else b
    found = differing(listing(a), listing(b), 20)
    assert found == {
        name: tuple(side[name][1] if side.get(name, ("", b""))[0] == "40000" else None for side in (a, b))
        for name in a.keys() | b.keys()
        if a.get(name) != b.get(name)
    }


def test_one_walk_for_all_homes_gives_what_a_walk_for_each_gives(repo: Repo) -> None:
    base = repo.commit({name: text(sleepers=str(n)) for n, name in enumerate("abcd", start=1)}, "2026-01-01")
    left = repo.commit({"a": text(sleepers="5")}, "2026-01-02")
    repo.branch("other", base)
    right = repo.commit({"b": text(sleepers="6"), "a": text(sleepers="7")}, "2026-01-03")
    repo.commit({"a": text(sleepers="8"), "b": text(sleepers="6")}, "2026-01-04", parents=[right, left])
    repo.commit({"c": None, "e": text(sleepers="3", rented="yes")}, "2026-01-05")
    repo.write({"d": text(sleepers="9"), "f": text()})
    (repo.homes / "g").symlink_to(repo.homes / "b")
    homes = [*"abcdefg", "nowhere"]
    found = revisions_of(repo.homes, homes)
    assert found == {name: revision_of(repo.homes / name / "record.yml") for name in homes}
    for name in "abde":
        (said,) = repo.ask("log", "-1", "--format=%h", "--abbrev=10", "--", f"homes/{name}/record.yml")
        assert found[name].commit == said
    assert (found["d"].changed, found["f"].commit, found["g"].commit) == (True, None, found["b"].commit)


@pytest.fixture
def read_of() -> Iterator[dict[str, set[str]]]:
    """Note which fields of a record are read, by class, while a test runs."""
    seen: dict[str, set[str]] = {}
    fields = {kind: frozenset(kind.model_fields) for kind in _kinds(Value)}

    def noted(self: Value, name: str) -> object:
        if name in fields.get(type(self), ()):
            seen.setdefault(type(self).__name__, set()).add(name)
        return object.__getattribute__(self, name)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Value, "__getattribute__", noted)
        yield seen


def _kinds(base: type[Value]) -> Iterator[type[Value]]:
    for kind in base.__subclasses__():
        yield kind
        yield from _kinds(kind)


def test_a_calculation_that_is_shared_reads_no_more_of_a_record_than_is_compared(
    read_of: dict[str, set[str]],
) -> None:
    for name in ("gable-hatch", "saltpan-lane"):
        home = read(ROOT / "homes" / name / "record.yml").home
        assert home is not None
        dwelling = survey(home)[0]
        assert dwelling is not None
        for topic, reads in READS.items():
            known = Reckoned(home, dwelling, date(2026, 11, 25))
            read_of.clear()
            getattr(known, topic)
            assert read_of.get("Device", set()) <= {*reads.device}, topic
            assert read_of.get("Home", set()) <= {"devices", "system", *reads.parts}, topic
            assert read_of.get("System", set()) <= {*reads.system}, topic


def test_what_is_shared_is_known_to_what_reckons() -> None:
    assert {name for name in READS if isinstance(vars(Reckoned).get(name), cached_property)} == {*READS}


@settings(max_examples=5, deadline=None)
@given(st.data())
def test_a_home_judged_beside_another_is_judged_as_it_is_afresh(data: st.DataObject) -> None:
    edited = data.draw(st.lists(st.sampled_from(sorted(EDITS)), min_size=2, max_size=5, unique=True))
    old, new = side(text()), side(text(**{name: data.draw(EDITS[name][0]) for name in edited}))
    comparison = compare_home(old, new)
    known = old.reckoned(DAY)
    old.findings(DAY, (), known)
    changes = [change for change in comparison.changes if change.apply is not unchanged]
    chosen = data.draw(st.lists(st.sampled_from(changes), unique_by=id)) if changes else []
    home: Home = old.home
    for change in (change for change in changes if any(change is other for other in chosen)):
        home = change.apply(home)
    afresh = Side(home, old.day, old.catalogue)
    shapes = shapes_beside(home, old)
    if shapes is not None:
        assert survey(home)[0] is not None
        assert survey(home)[0].spots == shapes.spots  # type: ignore[union-attr]
    judged = Trial(old, known, comparison).verdicts(chosen, catalogue().rules)
    expected = (
        None if afresh.trouble else {key: f.verdict for key, f in by_key(afresh.findings(DAY), comparison).items()}
    )
    assert judged == expected


def test_a_calculation_is_shared_only_where_nothing_that_it_reads_differs() -> None:
    old, moved, dearer = side(text()), side(text(sa1_west="1.20")), side(text(sa2_battery="1 x 9 V, 5 years"))
    known = old.reckoned(DAY)
    assert known.radio
    assert known.sound
    dearer.__dict__["dwelling"] = shapes_beside(dearer.home, old)
    assert dearer.dwelling is old.dwelling
    shared = reckoned_beside(dearer, known).__dict__
    assert shared.get("sound") is known.sound
    assert "radio" not in shared
    moved.__dict__["dwelling"] = shapes_beside(moved.home, old)
    assert {*READS} & reckoned_beside(moved, known).__dict__.keys() == set()
