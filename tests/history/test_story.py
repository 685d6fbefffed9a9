"""The story of a home, revision by revision, and the life of its variations."""

from datetime import date

import pytest

from asfitted.history import story as story_module
from asfitted.history.changes import Kind
from asfitted.history.departures import departures
from asfitted.history.points import Timeline
from asfitted.history.repository import Repository
from asfitted.history.revision import HistoryDamaged
from asfitted.history.side import Side
from asfitted.history.story import Chapter, Key, Stories, Story, stories, story
from asfitted.history.verdict_changes import Turn
from asfitted.rules.catalogue import catalogue
from asfitted.rules.finding import Verdict
from tests.history.homes import DAY, side, text
from tests.history.repos import Repo

_VARIATIONS = text()[text().index("variations:") :]


def line(repo: Repo) -> Timeline:
    found = Repository.around(repo.homes)
    assert found is not None
    return Timeline(found, repo.homes, "rule-sets", DAY, catalogue())


def told(repo: Repo, home: str = "a") -> Story:
    return story(line(repo), home)


def kinds(chapter: Chapter) -> list[Kind]:
    return [change.kind for change in chapter.changes]


def test_every_revision_is_compared_with_the_one_before_and_counted(repo: Repo) -> None:
    first = repo.commit({"a": text()}, "2025-05-12")
    second = repo.commit({"a": text(sa1_west="0.30")}, "2025-06-01", author="technician 3")
    moved, made = told(repo).chapters
    assert (moved.commit and moved.commit.id, made.commit and made.commit.id) == (second, first)
    assert made.report.old is None
    assert made.changes == ()
    assert kinds(moved) == [Kind.DEVICE_MOVED]
    assert Turn.FAILS in [item.turn for item in moved.report.verdicts or ()]
    assert made.counts is not None
    assert moved.counts is not None
    fails = sum(finding.verdict is Verdict.FAILS for finding in side(text(sa1_west="0.30")).findings(date(2025, 6, 1)))
    assert moved.counts[Verdict.FAILS] == fails
    assert moved.counts[Verdict.FAILS] > made.counts[Verdict.FAILS]


def test_what_is_on_disk_and_not_committed_is_the_latest_chapter(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.write({"a": text(sleepers="3")})
    on_disk, _ = told(repo).chapters
    assert on_disk.commit is None
    assert on_disk.id == "working-copy"
    assert kinds(on_disk) == [Kind.HOUSEHOLD]


def test_a_record_that_cannot_be_read_is_a_chapter_that_says_so(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": "record: 1\nhome: {\n"}, "2025-06-01")
    repo.commit({"a": text(sleepers="3")}, "2025-06-02")
    mended, broken, _ = told(repo).chapters
    assert broken.counts is None
    assert broken.report.comparison is None
    assert "cannot be used" in broken.report.troubles[0]
    assert mended.counts is not None
    assert kinds(mended) == [Kind.HOUSEHOLD]  # beside the last one that can be read, so that nothing hides between


def test_a_merge_is_compared_with_its_first_parent_only(repo: Repo) -> None:
    base = repo.commit({"a": text()}, "2025-05-12")
    main = repo.commit({"a": text(dog="20 kg")}, "2025-05-14")
    side_branch = repo.commit({"a": text(sleepers="3")}, "2025-05-13", parents=[base])
    repo.commit({"a": text(sleepers="3", dog="20 kg")}, "2025-05-15", parents=[main, side_branch])
    chapters = {chapter.day.day: chapter for chapter in told(repo).chapters if chapter.day}
    assert [change.subject for change in chapters[15].changes] == ["sleepers"]
    assert [change.subject for change in chapters[14].changes] == ["pets"]
    assert [change.subject for change in chapters[13].changes] == ["sleepers"]


def test_the_last_commissioning_is_compared_with_today(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text(sleepers="3")}, "2025-06-01")
    since = told(repo).commissioned
    assert since is not None
    assert since.comparison is not None
    assert [change.kind for change in since.comparison.changes] == [Kind.HOUSEHOLD]


def test_a_home_that_was_taken_away_keeps_its_story_and_one_renamed_has_one(repo: Repo) -> None:
    repo.commit({"a": text(), "b": text(home_note="brick")}, "2025-05-12")
    repo.commit({"b": None}, "2025-06-01")
    repo.commit({"a": None, "c": text(sleepers="3")}, "2025-06-02")
    found = stories(line(repo), ["c"])
    assert isinstance(found, Stories)
    assert set(found.told) == {"c", "b"}
    assert [chapter.day and chapter.day.isoformat() for chapter in found.told["c"].chapters] == [
        "2025-06-02", "2025-05-12",
    ]  # fmt: skip
    gone, was = found.told["b"].chapters
    assert gone.report.new is None
    assert was.counts is not None


def test_a_home_whose_name_another_took_is_told_by_its_own_name_and_for_itself(repo: Repo) -> None:
    repo.commit({"a": text(), "b": text(home_note="brick").replace("-00", "-90")}, "2025-05-12")
    gone = repo.commit({"b": None}, "2025-06-01")
    repo.commit({"a": None, "b": text(sleepers="3")}, "2025-06-02")
    timeline = line(repo)
    assert timeline.left == ("b (earlier home)",)
    found = stories(timeline, ["b", *timeline.left]).told
    last, first = found["b (earlier home)"].chapters
    assert (last.commit and last.commit.id, last.report.new) == (gone, None)
    assert first.report.new is not None
    assert isinstance(first.report.new.side, Side)
    assert first.report.new.side.home.home.note == "brick"
    assert [chapter.commit and chapter.commit.folder for chapter in found["b"].chapters] == ["homes/b", "homes/a"]


def test_homes_that_exchanged_their_folders_are_told_so_and_no_past_visit_is_flagged(repo: Repo) -> None:
    other = text(reading="7 s", home_note="brick").replace("-00", "-90")
    repo.commit({"a": text(), "b": other}, "2025-05-12")
    repo.commit({"a": other, "b": text(sleepers="3")}, "2025-06-02")
    latest, _ = told(repo, "b").chapters
    assert kinds(latest) == [Kind.HOUSEHOLD]
    assert latest.report.renamed.startswith("Records exchanged")
    assert told(repo, "b").evidence.edits == ()


def test_chapters_told_before_are_taken_as_they_are(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text(sleepers="3")}, "2025-06-01")
    known: dict[Key, Chapter] = {chapter.key: chapter for chapter in told(repo).chapters if chapter.key}
    again = story(line(repo), "a", known).chapters
    assert all(chapter is known[chapter.key] for chapter in again if chapter.key)
    assert len(again) == 2


def test_a_variation_is_followed_from_the_revision_that_brought_it_in(repo: Repo) -> None:
    without = text().replace(_VARIATIONS, "")
    repo.commit({"a": without}, "2025-05-12")
    came = repo.commit({"a": text()}, "2025-05-13", author="technician 3")
    changed = repo.commit({"a": text(why="the glass was replaced")}, "2025-05-14")
    dropped = repo.commit({"a": without}, "2025-05-15")
    (only,) = departures(told(repo).chapters)
    assert only.brought_in is not None
    assert (only.brought_in.id, only.brought_in.author) == (came, "technician 3")
    assert only.agreed.why == "the glass was replaced"
    assert [(event.commit and event.commit.id, event.change.kind) for event in only.events] == [
        (changed, Kind.VARIATION), (dropped, Kind.VARIATION_WITHDRAWN),
    ]  # fmt: skip
    assert not only.stands


def test_a_variation_that_lapses_is_told_and_still_stands_in_the_record(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text(sleepers="3")}, "2027-01-02")
    (only,) = departures(told(repo).chapters)
    assert [event.change.kind for event in only.events] == [Kind.VARIATION_LAPSED]
    assert only.stands


def test_a_variation_merged_in_from_two_sides_is_one(repo: Repo) -> None:
    base = repo.commit({"a": text().replace(_VARIATIONS, "")}, "2025-05-12")
    main = repo.commit({"a": text(sleepers="3").replace(_VARIATIONS, "")}, "2025-05-14")
    branch = repo.commit({"a": text()}, "2025-05-13", parents=[base])
    repo.commit({"a": text(sleepers="3")}, "2025-05-15", parents=[main, branch])
    (only,) = departures(told(repo).chapters)
    assert only.brought_in is not None
    assert only.brought_in.id == branch


def test_a_variation_withdrawn_by_the_revision_that_changed_its_tag_is_told_as_withdrawn(repo: Repo) -> None:
    agreed = "  - {rule: device-named, device: SA2, why: spare, agreed: the householder, on: 2024-05-11}\n"
    repo.commit({"a": text() + agreed}, "2025-05-12")
    guilty = repo.commit({"a": text().replace("SA2", "SA9")}, "2025-06-01")
    gone = [item for item in departures(told(repo).chapters) if not item.stands]
    assert [(item.agreed.device, event.commit and event.commit.id) for item in gone for event in item.events] == [
        ("SA9", guilty)
    ]


def test_a_record_that_came_back_is_compared_with_what_was_taken_away(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": None}, "2025-05-13")
    repo.commit({"a": text(sleepers="3")}, "2025-05-14")
    back, gone, first = told(repo).chapters
    assert kinds(back) == [Kind.HOUSEHOLD]
    assert gone.report.new is None
    assert first.report.old is None


def test_a_home_whose_history_is_damaged_is_told_and_the_others_keep_theirs(
    repo: Repo, monkeypatch: pytest.MonkeyPatch
) -> None:
    repo.commit({"a": text(), "b": text(home_note="brick")}, "2025-05-12")
    whole = story_module.story

    def damaged(timeline: Timeline, home: str, known: object = None) -> Story:
        if home == "b":
            raise HistoryDamaged("an object")
        return whole(timeline, home)

    monkeypatch.setattr(story_module, "story", damaged)
    found = stories(line(repo), ["a", "b"])
    assert set(found.told) == {"a"}
    assert "an object is missing from the repository" in found.cautions[0]
