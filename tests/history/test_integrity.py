"""What a history is worth as evidence."""

from asfitted.history.changes import Kind
from asfitted.history.integrity import LATE, Integrity, integrity
from asfitted.history.points import Timeline
from asfitted.history.repository import Repository
from asfitted.rules.catalogue import catalogue
from tests.history.homes import DAY, text
from tests.history.repos import Repo


def looked(repo: Repo, home: str = "a") -> Integrity:
    found = Repository.around(repo.homes)
    assert found is not None
    return integrity(Timeline(found, repo.homes, "rule-sets", DAY, catalogue()), home)


def test_a_later_edit_is_listed_with_both_texts_author_and_signature(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    guilty = repo.commit({"a": text(reading="7 s")}, "2025-06-01", author="technician 9")
    repo.commit({"a": text(reading="7 s", sleepers="3")}, "2025-07-01")
    (edit,) = looked(repo).edits
    assert edit.commit.id == guilty
    assert edit.commit.author == "technician 9"
    assert edit.commit.signature == "not signed"
    assert edit.change.kind is Kind.PAST_VISIT_EDITED
    assert "smoke 9 s" in edit.change.before
    assert "smoke 7 s" in edit.change.after


def test_an_edit_that_was_taken_back_is_still_listed(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text(reading="7 s")}, "2025-06-01")
    repo.commit({"a": text()}, "2025-06-02")
    assert [edit.change.kind for edit in looked(repo).edits] == [Kind.PAST_VISIT_EDITED] * 2


def test_visits_that_are_only_added_are_no_edits(repo: Repo) -> None:
    end = text().index("  - {date: 2025-05-12")
    repo.commit({"a": text()[:end] + text()[text().index("variations:") :]}, "2024-05-12")
    repo.commit({"a": text()}, "2025-05-12")
    found = looked(repo)
    assert found.edits == ()
    assert found.days == ()
    assert found.revisions == len(found.digests) == 2


def test_a_visit_committed_long_after_is_told(repo: Repo) -> None:
    end = text().index("  - {date: 2025-05-12")
    repo.commit({"a": text()[:end] + text()[text().index("variations:") :]}, "2024-05-12")
    made = repo.commit({"a": text()}, "2025-06-12", author="technician 4")
    (line,) = looked(repo).days
    assert (
        line == f"The service of 2025-05-12 was committed 31 days after, in {made[:10]} of 2025-06-12 by technician 4."
    )
    assert LATE < 31


def test_a_second_visit_of_the_same_day_and_kind_is_told_when_it_is_committed_long_after(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    known = len(looked(repo).days)
    second = "  - {date: 2025-05-12, kind: service, by: technician 4, tests: {SA2: {button: sounded}}}\nvariations:"
    made = repo.commit({"a": text().replace("variations:", second)}, "2025-07-12")
    *_, last = looked(repo).days
    assert len(looked(repo).days) == known + 1
    assert last.startswith(f"The service of 2025-05-12 was committed 61 days after, in {made[:10]}")


def test_a_home_brought_in_with_its_past_is_told_in_one_line(repo: Repo) -> None:
    made = repo.commit({"a": text()}, "2025-06-12")
    (line,) = looked(repo).days
    assert line.startswith(f"The first revision, {made[:10]} of 2025-06-12")
    assert "3 visits made 31 days before or longer" in line


def test_a_visit_dated_after_its_commit_and_after_today_is_told(repo: Repo) -> None:
    repo.commit({"a": text().replace("date: 2025-05-12", "date: 2029-05-12")}, "2024-05-12")
    days = " ".join(looked(repo).days)
    assert "2029-05-12 is dated after its commit" in days
    assert f"2029-05-12 is dated after today, {DAY}" in days


def test_an_edit_on_a_side_branch_is_told_once_and_for_its_own_commit(repo: Repo) -> None:
    base = repo.commit({"a": text()}, "2025-05-12T01:00:00")
    repo.branch("side", base)
    guilty = repo.commit({"a": text(reading="7 s")}, "2025-05-12T02:00:00")
    repo.branch("main", base)
    other = repo.commit({"a": text(sleepers="3")}, "2025-05-12T03:00:00")
    repo.commit({"a": text(sleepers="3", reading="7 s")}, "2025-05-12T04:00:00", parents=[other, guilty])
    found = looked(repo)
    assert [edit.commit.id for edit in found.edits] == [guilty]
    assert any("merge" in caution for caution in found.cautions)


def test_a_revision_brought_in_from_elsewhere_is_hinted_at(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-20", written="2025-05-12")
    assert any("written 2025-05-12" in caution for caution in looked(repo).cautions)


def test_unreadable_revisions_are_listed_and_stop_nothing(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": "record: 1\nhome: [\n"}, "2025-05-13")
    repo.commit({"a": text(sleepers="3")}, "2025-05-14")
    found = looked(repo)
    assert len(found.unusable) == 1
    assert len(found.digests) == 2


def test_a_home_without_any_revision_is_no_crash(repo: Repo) -> None:
    repo.write({"a": text()})
    assert looked(repo).revisions == 0


def test_no_edit_hides_behind_revisions_that_cannot_be_read(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": "record: 1\nhome: {\n"}, "2025-05-13")
    repo.commit({"a": "record: 1\nhome: {{\n"}, "2025-05-14")
    guilty = repo.commit({"a": text(reading="7 s")}, "2025-05-15")
    found = looked(repo)
    assert [edit.commit.id for edit in found.edits] == [guilty]
    assert sum("The first revision" in line for line in found.days) == 1


def test_no_edit_hides_behind_a_record_that_was_taken_away_and_came_back(repo: Repo) -> None:
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": None}, "2025-05-13")
    guilty = repo.commit({"a": text(reading="7 s")}, "2025-05-15")
    assert [edit.commit.id for edit in looked(repo).edits] == [guilty]


def test_an_edit_made_again_after_it_was_taken_back_is_listed_again(repo: Repo) -> None:
    made = [
        repo.commit({"a": text(reading=f"{s} s")}, f"2025-06-0{day}") for day, s in enumerate((9, 7, 9, 7), start=1)
    ]
    assert [edit.commit.id for edit in looked(repo).edits] == made[1:]


def test_a_correction_put_in_among_past_visits_is_told_as_an_insertion(repo: Repo) -> None:
    correction = "  - {date: 2024-06-01, kind: service, by: technician 2, corrects: 2024-05-11}\nvariations:"
    repo.commit({"a": text()}, "2025-05-12")
    repo.commit({"a": text().replace("variations:", correction)}, "2025-06-01")
    assert [edit.change.kind for edit in looked(repo).edits] == [Kind.VISIT_INSERTED]
