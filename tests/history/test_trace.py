"""The revision that brought in a failing finding."""

from hypothesis import given
from hypothesis import strategies as st

from asfitted.history.onset import onset
from asfitted.history.points import LazyPoints, Timeline
from asfitted.history.repository import Repository
from asfitted.history.revision import Unavailable
from asfitted.history.trace import trace
from asfitted.rules.catalogue import catalogue
from tests.history.homes import DAY, text
from tests.history.repos import Repo

WALLS = "smoke-clear-of-wall"


@given(st.integers(0, 300), st.integers(1, 300))
def test_a_verdict_that_turned_once_is_found_with_few_judgements(passing: int, failing: int) -> None:
    asked: list[int] = []

    def fails(index: int) -> bool:
        asked.append(index)
        return index >= passing

    found = onset(passing + failing, fails)
    assert found.first == passing
    assert found.before == (passing - 1 if passing else None)
    assert found.turns == ()
    assert len(asked) == found.judged <= 20


@given(st.lists(st.sampled_from([True, False, None]), min_size=1, max_size=9))
def test_of_few_revisions_the_last_turn_is_found_whatever_they_say(verdicts: list[bool | None]) -> None:
    found = onset(len(verdicts), verdicts.__getitem__)
    if verdicts[-1] is not True:
        assert found.first is None
        return
    known = [(index, verdict) for index, verdict in enumerate(verdicts) if verdict is not None]
    passing = [index for index, verdict in known if not verdict]
    expected = min(index for index, verdict in known if verdict and (not passing or index > passing[-1]))
    assert found.first == expected
    assert found.before == (passing[-1] if passing else None)


def test_a_verdict_that_turned_back_and_forth_is_noticed_and_looked_at_one_by_one() -> None:
    verdicts = [False] * 20 + [True] * 20 + [False] * 20 + [True] * 20
    found = onset(len(verdicts), verdicts.__getitem__)
    assert found.first == 60
    assert found.turns == (20, 40, 60)
    assert found.judged == 80


def points(repo: Repo) -> LazyPoints:
    found = Repository.around(repo.homes)
    assert found is not None
    return LazyPoints(Timeline(found, repo.homes, "rule-sets", DAY, catalogue()), "a")


def test_the_revision_that_moved_the_alarm_is_found_with_its_changes(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    before = repo.commit({"a": text(sleepers="3")}, "2026-01-02")
    guilty = repo.commit({"a": text(sleepers="3", sa1_west="0.20")}, "2026-01-03", author="technician 9")
    repo.commit({"a": text(sleepers="4", sa1_west="0.20")}, "2026-01-04")
    found = trace(points(repo), WALLS, DAY)
    assert not isinstance(found, Unavailable)
    (item,) = found
    assert item.first.commit is not None
    assert item.before is not None
    assert item.before.commit is not None
    assert (item.first.commit.id, item.before.commit.id) == (guilty, before)
    assert [change.subject for change in item.changes] == ["SA1"]


def test_a_device_is_traced_through_a_change_of_its_tag(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    guilty = repo.commit({"a": text(sa1_west="0.20")}, "2026-01-02")
    repo.commit({"a": text(sa1_west="0.20").replace("SA1", "SA7")}, "2026-01-03")
    found = trace(points(repo), WALLS, DAY, "SA7")
    assert not isinstance(found, Unavailable)
    assert found[0].first.commit is not None
    assert found[0].first.commit.id == guilty


def test_a_revision_that_cannot_be_read_is_passed_over_and_counted(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    repo.commit({"a": text(sa1_west="0.20").replace("cut-off", "cuts-off")}, "2026-01-02")
    repo.commit({"a": text(sa1_west="0.20")}, "2026-01-03")
    found = trace(points(repo), WALLS, DAY)
    assert not isinstance(found, Unavailable)
    assert found[0].unusable == 1


def test_a_fault_that_is_not_committed_is_that_of_the_working_copy(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    repo.write({"a": text(sa1_west="0.20")})
    found = trace(points(repo), WALLS, DAY)
    assert not isinstance(found, Unavailable)
    assert found[0].first.commit is None


def test_where_nothing_fails_there_is_nothing_to_trace(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    assert isinstance(trace(points(repo), WALLS, DAY), Unavailable)
    assert isinstance(trace(points(repo), WALLS, DAY, "SA99"), Unavailable)


def test_a_room_that_is_only_called_otherwise_is_no_onset(repo: Repo) -> None:
    first = repo.commit({"a": text()}, "2025-05-12")
    renamed = text().replace("id: bedroom,", "id: snug,").replace("{bedroom: ", "{snug: ")
    repo.commit(
        {"a": renamed.replace("living, bedroom]", "living, snug]").replace("to: bedroom", "to: snug")}, "2025-06-01"
    )
    found = trace(points(repo), "smoke-in-bedroom", DAY, "snug")
    assert not isinstance(found, Unavailable), found.says
    assert found[0].first.commit is not None
    assert found[0].first.commit.id == first


def test_a_merge_is_not_blamed_for_what_a_line_that_it_joins_had_already(repo: Repo) -> None:
    start = repo.commit({"a": text()}, "2025-05-12")
    moved = repo.commit({"a": text(sa1_west="0.20")}, "2025-06-01", author="technician 9")
    repo.branch("side", start)
    repo.commit({"a": text(sleepers="3")}, "2025-05-20")
    side = repo.commit({"a": text(sleepers="3", dog="20 kg")}, "2025-06-05")
    repo.branch("main", moved)
    repo.commit({"a": text(sa1_west="0.20", sleepers="3", dog="20 kg")}, "2025-06-10", parents=[moved, side])
    found = trace(points(repo), WALLS, DAY, "SA1")
    assert not isinstance(found, Unavailable), found.says
    assert (found[0].first.commit and found[0].first.commit.id) == moved
    assert (found[0].before and found[0].before.commit and found[0].before.commit.id) == start
    assert [change.kind.value for change in found[0].changes] == ["device moved"]


def test_a_merge_that_brings_in_the_fault_itself_is_named(repo: Repo) -> None:
    start = repo.commit({"a": text()}, "2025-05-12")
    ours = repo.commit({"a": text(dog="20 kg")}, "2025-06-01")
    repo.branch("side", start)
    side = repo.commit({"a": text(sleepers="3")}, "2025-06-05")
    repo.branch("main", ours)
    merged = repo.commit({"a": text(sa1_west="0.20", sleepers="3", dog="20 kg")}, "2025-06-10", parents=[ours, side])
    found = trace(points(repo), WALLS, DAY, "SA1")
    assert not isinstance(found, Unavailable), found.says
    assert (found[0].first.commit and found[0].first.commit.id) == merged


def test_a_device_that_was_retagged_then_replaced_then_moved_is_followed_step_by_step(repo: Repo) -> None:
    near = text(sa1_west="0.20")
    retagged = near.replace("SA1", "SA7")
    replaced = retagged.replace("A-001", "A-077")
    first = repo.commit({"a": text()}, "2025-05-12")
    guilty = repo.commit({"a": near}, "2025-05-13")
    repo.commit({"a": retagged}, "2025-05-14")
    repo.commit({"a": replaced}, "2025-05-15")
    repo.commit({"a": replaced.replace("from-west: 0.20", "from-west: 0.35")}, "2025-05-16")
    found = trace(points(repo), WALLS, DAY, "SA7")
    assert not isinstance(found, Unavailable), found.says
    assert (found[0].first.commit and found[0].first.commit.id) == guilty
    assert (found[0].before and found[0].before.commit and found[0].before.commit.id) == first


def test_revisions_that_cannot_be_judged_do_not_count_as_judged() -> None:
    assert onset(5, [False, None, None, True, True].__getitem__).judged == 3
