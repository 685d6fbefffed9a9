"""What git knows, held against the git program itself."""

import shutil
import subprocess
from pathlib import Path
from random import Random

import pygit2
import pytest

from asfitted.history.last_touch import revision_of
from asfitted.history.points import Timeline
from asfitted.history.repository import Repository
from asfitted.history.revision import ChangedHome, Commit, Revision, Unavailable
from asfitted.history.side import Side
from asfitted.rules.catalogue import catalogue
from tests.history.homes import DAY, text
from tests.history.repos import Repo


def opened(repo: Repo) -> Repository:
    found = Repository.around(repo.homes)
    assert found is not None
    return found


def ids(repo: Repo, home: str) -> list[str]:
    return [commit.id for commit in opened(repo).revisions(f"homes/{home}")]


def test_revisions_are_those_of_the_git_program_on_a_straight_line(repo: Repo) -> None:
    for number in range(6):
        home = "a" if number % 2 else "b"
        repo.commit({home: text(sleepers=str(number + 1))}, f"2026-01-{number + 1:02d}", subject=f"no. {number}")
    assert ids(repo, "a") == repo.ask("log", "--format=%H", "--", "homes/a/record.yml")
    assert len(ids(repo, "a")) == 3


@pytest.mark.parametrize("seed", range(12))
def test_revisions_are_those_of_the_git_program_with_branches_and_merges(repo: Repo, seed: int) -> None:
    random = Random(seed)  # noqa: S311 - no secrets
    notes = {"a": "stone", "b": "brick"}  # no record is ever that of the other home
    tips = [repo.commit({home: text(home_note=note) for home, note in notes.items()}, "2026-01-01T00:00:00")]
    for hour in range(1, 24):
        base = random.choice(tips)
        repo.branch(f"b{hour}", base)
        parents = [base]
        other = random.choice(tips)
        if random.random() < 0.35 and other != base:
            parents.append(other)
        values = {
            home: text(sleepers=str(random.randint(1, 4)), home_note=notes[home])
            for home in random.sample(["a", "b"], random.randint(0, 2))
        }
        made = repo.commit(values, f"2026-01-01T{hour:02d}:00:00", parents=parents)
        tips = [tip for tip in tips if tip not in parents or random.random() < 0.4] + [made]
    repo.branch("last", tips[-1])
    for home in ("a", "b"):
        path = f"homes/{home}/record.yml"
        assert ids(repo, home) == repo.ask("log", "--date-order", "--format=%H", "--", path)
        (said,) = repo.ask("log", "-1", "--format=%h %cs", "--abbrev=10", "--", path)
        found = revision_of(repo.homes / home / "record.yml")
        assert f"{found.commit} {found.day}" == said


def test_a_renamed_folder_is_followed_as_the_git_program_follows_it(repo: Repo) -> None:
    repo.commit({"old-name": text(), "other": text(sleepers="5")}, "2026-01-01")
    repo.commit({"old-name": text(sleepers="3")}, "2026-01-02")
    repo.commit({"old-name": None, "new-name": text(sleepers="3", rented="yes")}, "2026-01-03")
    repo.commit({"new-name": text(sleepers="4", rented="yes")}, "2026-01-04")
    assert ids(repo, "new-name") == repo.ask("log", "--follow", "--format=%H", "--", "homes/new-name/record.yml")
    folders = [commit.folder for commit in opened(repo).revisions("homes/new-name")]
    assert folders == ["homes/new-name", "homes/new-name", "homes/old-name", "homes/old-name"]


def test_a_commit_is_told_as_the_git_program_tells_it(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-02-03", author="technician 7", subject="Fit the alarms", written="2026-02-01")
    (found,) = opened(repo).revisions("homes/a")
    said = repo.ask("log", "-1", "--format=%H%n%cs%n%as%n%an%n%cn%n%s")
    assert [found.id, str(found.day), str(found.authored.date()), found.author, found.committer, found.subject] == said


def test_a_signature_is_told_by_its_kind_and_never_as_verified(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-02-03")
    ssh = "-----BEGIN SSH SIGNATURE-----\nAAAA\n-----END SSH SIGNATURE-----\n"
    repo.commit({"a": text(sleepers="3")}, "2026-02-04", signature=ssh)
    signed, plain = opened(repo).revisions("homes/a")
    assert (signed.signed, plain.signed) == ("SSH", "")
    assert "not verified" in signed.signature
    assert plain.signature == "not signed"
    assert any(line.startswith("gpgsig") for line in repo.ask("cat-file", "-p", signed.id))


def test_a_revision_is_found_by_commit_tag_branch_and_day(repo: Repo) -> None:
    first = repo.commit({"a": text()}, "2026-01-01")
    second = repo.commit({"a": text(sleepers="3")}, "2026-02-01")
    repo.ask("tag", "-a", "-m", "handed over", "handed-over", first)
    found = opened(repo)
    for name, expected in (
        (first[:9], first), ("handed-over", first), ("main", second), ("HEAD~1", first), ("2026-01-31", first),
        ("2026-02-01", second), ("2030-01-01", second),
    ):  # fmt: skip
        commit = found.resolve(name)
        assert isinstance(commit, Commit), name
        assert commit.id == expected == repo.ask("rev-parse", f"{commit.id}^{{commit}}")[0]


@pytest.mark.parametrize("seed", range(4))
def test_no_revision_stands_above_one_made_from_it_whatever_the_clocks_said(repo: Repo, seed: int) -> None:
    random = Random(seed)  # noqa: S311 - no secrets
    tips = [repo.commit({"a": text(sleepers="0")}, "2026-01-15T12:00:00")]
    minutes = random.sample(range(60), 14)
    for number, minute in enumerate(minutes, start=1):
        base = random.choice(tips[-3:])
        repo.branch(f"b{number}", base)
        parents = list(dict.fromkeys([base, *(random.sample(tips, 1) if random.random() < 0.3 else [])]))
        tips.append(repo.commit({"a": text(sleepers=str(number))}, f"2026-01-15T12:{minute:02d}:30", parents=parents))
    repo.branch("last", tips[-1])
    assert ids(repo, "a") == repo.ask("log", "--date-order", "--format=%H", "--", "homes/a/record.yml")
    for commit in opened(repo).revisions("homes/a"):
        made_from = repo.ask("log", "-1", "--format=%P", commit.id)[0].split()[:1]
        assert [commit.before] == [(parent, "homes/a") for parent in made_from] or not made_from


def test_the_revision_that_one_was_made_from_is_named_though_another_had_the_same_record(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    repo.commit({"a": text(sleepers="3")}, "2026-01-02")
    repo.commit({"a": text()}, "2026-01-03")
    base = repo.commit({"a": text(sleepers="3")}, "2026-01-04")
    repo.branch("aside", repo.ask("rev-parse", "HEAD~3")[0])
    made = repo.commit({"a": text(sleepers="4")}, "2026-01-05", parents=[base])
    repo.branch("last", made)
    timeline = Timeline(opened(repo), repo.homes, "rule-sets", DAY, catalogue())
    latest = timeline.revisions("a")[0]
    assert next(commit.id for commit in timeline.earlier("a", latest)) == base


def test_two_homes_of_one_template_with_other_serials_are_not_one_home_renamed(repo: Repo) -> None:
    old = repo.commit({"a": text(), "k": text(rules="us")}, "2026-01-01")
    fresh = text().replace("A-00", "B-00").replace("M-00", "N-00").replace("S-00", "T-00")
    new = repo.commit({"a": None, "b": fresh}, "2026-01-02")
    assert repo.ask("diff", "--name-status", "-M60%", old, new)[0].startswith("R")
    apart = [ChangedHome("a", None), ChangedHome(None, "b")]
    assert opened(repo).changed_homes("homes", old, new, repo.homes) == apart
    assert ids(repo, "b") == [new]
    assert opened(repo).changed_homes("homes", old, None, repo.homes) == apart


@pytest.mark.parametrize("edited", ["stone", "brick"])
def test_two_homes_that_exchange_their_folders_are_followed_crosswise(repo: Repo, edited: str) -> None:
    other = text(rented="yes").replace("A-00", "B-00").replace("M-00", "N-00").replace("S-00", "T-00")
    old = repo.commit({"a": text(), "b": other, "c": text(rules="us")}, "2026-01-01")
    crossed = {"a": other, "b": text(home_note=edited), "c": text(rules="us", sleepers="3")}
    crosswise = [ChangedHome("b", "a"), ChangedHome("a", "b"), ChangedHome("c", "c")]
    repo.write(crossed)
    assert opened(repo).changed_homes("homes", old, None, repo.homes) == crosswise
    new = repo.commit(crossed, "2026-01-02")
    assert opened(repo).changed_homes("homes", old, new, repo.homes) == crosswise
    assert [commit.folder for commit in opened(repo).revisions("homes/b")] == ["homes/b", "homes/a"]


@pytest.mark.parametrize(
    "name", ["nothing", "", "-x", "2025-12-31", "2026-02-30", "HEAD:homes", "HEAD~9", "\x1b[2J", "a..b"]
)
def test_a_revision_that_is_not_there_is_said(repo: Repo, name: str) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    found = opened(repo).resolve(name)
    assert isinstance(found, Unavailable)
    assert "\x1b" not in found.says


def test_homes_that_changed_are_those_of_the_git_program(repo: Repo) -> None:
    old = repo.commit({"a": text(), "b": text(), "gone": text(sleepers="7", home_note="brick")}, "2026-01-01")
    new = repo.commit(
        {"b": text(sleepers="3"), "come": text(rented="yes", sleepers="8")[:900], "gone": None}, "2026-01-02"
    )
    said = {line.split("\t")[1].split("/")[1] for line in repo.ask("diff", "--no-renames", "--name-status", old, new)}
    found = opened(repo).changed_homes("homes", old, new, repo.homes)
    assert {name for home in found for name in (home.old, home.new) if name} == said == {"b", "come", "gone"}


def test_homes_that_changed_in_the_working_copy_are_found_with_renames(repo: Repo) -> None:
    commit = repo.commit({"a": text(), "b": text(), "c": text(sleepers="9", rules="us")}, "2026-01-01")
    repo.write({"b": text(sleepers="3"), "c": None, "d": text(sleepers="9", rules="us", rented="yes")})
    found = opened(repo).changed_homes("homes", commit, None, repo.homes)
    assert found == [ChangedHome("b", "b"), ChangedHome("c", "d")]
    repo.ask("add", "-A")
    said = repo.ask("diff", "--cached", "--name-status", "-M60%")
    assert [line.split("\t")[0][0] for line in said] == ["M", "R"]


def test_a_home_taken_away_and_brought_back_keeps_both_parts_of_its_history(repo: Repo) -> None:
    repo.commit({"a": text(), "b": text(sleepers="8")}, "2026-01-01")
    repo.commit({"a": None}, "2026-01-02")
    repo.commit({"a": text(rented="yes")}, "2026-01-03")
    assert ids(repo, "a") == repo.ask("log", "--format=%H", "--", "homes/a/record.yml")
    assert [commit.blob is None for commit in opened(repo).revisions("homes/a")] == [False, True, False]


def test_a_dirty_working_copy_is_said(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    assert not revision_of(repo.homes / "a" / "record.yml").changed
    repo.write({"a": text(sleepers="3")})
    assert repo.ask("status", "--porcelain") == [" M homes/a/record.yml"]
    found = revision_of(repo.homes / "a" / "record.yml")
    assert found.words.endswith("of 2026-01-01, changed since")


def test_a_record_that_is_not_committed_has_no_revision(repo: Repo) -> None:
    repo.write({"a": text()})
    assert revision_of(repo.homes / "a" / "record.yml") == Revision()
    assert "Nothing is committed yet." in opened(repo).cautions
    repo.commit({"a": text()})
    repo.write({"b": text()})
    assert revision_of(repo.homes / "b" / "record.yml") == Revision()


def test_without_git_there_is_no_revision(tmp_path: Path) -> None:
    (tmp_path / "a").mkdir()
    (tmp_path / "a" / "record.yml").write_text(text(), encoding="utf-8")
    assert Repository.around(tmp_path) is None
    assert revision_of(tmp_path / "a" / "record.yml") == Revision()


def test_a_repository_that_is_damaged_is_none(repo: Repo) -> None:
    repo.commit({"a": text()})
    (repo.root / ".git" / "HEAD").write_bytes(b"\x00")
    assert Repository.around(repo.homes) is None


def test_content_that_is_missing_is_said(repo: Repo) -> None:
    repo.commit({"a": text()}, "2026-01-01")
    old = repo.commit({"a": text(sleepers="3")}, "2026-01-02")
    repo.commit({"a": text(sleepers="4")}, "2026-01-03")
    blob = repo.ask("rev-parse", f"{old}:homes/a/record.yml")[0]
    (repo.root / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    line = timeline(repo)
    sides = [line.side(commit) for commit in line.revisions("a")]
    assert [isinstance(side, Unavailable) for side in sides] == [False, True, False]
    first = repo.ask("rev-parse", "HEAD~2")[0]
    (repo.root / ".git" / "objects" / first[:2] / first[2:]).unlink()
    line = timeline(repo)
    assert len(line.revisions("a")) == 2
    assert any("missing" in caution for caution in line.repository.cautions)


def test_content_that_was_tampered_with_on_disk_is_not_read_as_a_record(repo: Repo) -> None:
    from zlib import compress

    repo.commit({"a": text()}, "2026-01-01")
    line = timeline(repo)
    (commit,) = line.revisions("a")
    file = repo.root / ".git" / "objects" / str(commit.blob)[:2] / str(commit.blob)[2:]
    other = text(reading="7 s").encode()
    file.chmod(0o644)
    file.write_bytes(compress(b"blob %d\0" % len(other) + other))
    side = timeline(repo).side(commit)
    assert isinstance(side, Unavailable)
    assert "damaged" in side.says


def test_variables_of_a_hook_do_not_point_at_another_repository(
    repo: Repo, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = repo.commit({"a": text()})
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("GIT_WORK_TREE", str(tmp_path))
    assert revision_of(repo.homes / "a" / "record.yml").commit == made[:10]


def test_a_shallow_clone_says_that_history_is_missing(repo: Repo, tmp_path: Path) -> None:
    for number in range(1, 5):
        repo.commit({"a": text(sleepers=str(number))}, f"2026-01-0{number}")
    clone = tmp_path / "clone"
    subprocess.run(["git", "clone", "-q", "--depth", "2", repo.root.as_uri(), str(clone)], check=True)
    found = Repository.around(clone / "homes")
    assert found is not None
    assert any("shallow" in caution for caution in found.cautions)
    said = subprocess.run(
        ["git", "log", "--format=%H", "--", "homes/a/record.yml"], cwd=clone, capture_output=True, text=True, check=True
    )
    assert [commit.id for commit in found.revisions("homes/a")] == said.stdout.split()
    assert [commit.cut for commit in found.revisions("homes/a")] == [False, True]
    assert not any(commit.cut for commit in opened(repo).revisions("homes/a"))
    assert revision_of(clone / "homes" / "a" / "record.yml").commit == found.head[:10]  # type: ignore[index]


def test_reading_leaves_the_repository_as_it_was(repo: Repo) -> None:
    repo.commit({"a": text(), "b": text()}, "2026-01-01")
    repo.commit({"a": text(sleepers="3")}, "2026-01-02")
    repo.write({"a": text(sleepers="4")})

    def state() -> dict[str, bytes]:
        return {str(file): file.read_bytes() for file in (repo.root / ".git").rglob("*") if file.is_file()}

    before = state()
    found = opened(repo)
    found.revisions("homes/a")
    found.changed_homes("homes", found.resolve("HEAD~1").id, None, repo.homes)  # type: ignore[union-attr]
    revision_of(repo.homes / "a" / "record.yml")
    assert state() == before


def timeline(repo: Repo) -> Timeline:
    return Timeline(opened(repo), repo.homes, "rule-sets", DAY, catalogue())


def test_the_last_commissioning_is_the_revision_that_brought_it_in(repo: Repo) -> None:
    start = text().index("  - date: 2024-05-11")
    survey = text()[:start] + text()[text().index("variations:") :]
    repo.commit({"a": survey}, "2024-05-10")
    made = repo.commit({"a": text()}, "2024-05-12")
    repo.commit({"a": text(sleepers="3")}, "2025-05-12")
    found = timeline(repo).resolve("a", "last commissioning")
    assert isinstance(found, Commit)
    assert found.id == made


def test_a_revision_is_found_by_the_digest_of_its_record(repo: Repo) -> None:
    from hashlib import sha256

    made = repo.commit({"a": text()}, "2026-01-01")
    repo.commit({"a": text(sleepers="3")}, "2026-01-02")
    digest = sha256(text().encode()).hexdigest()
    for name in (digest, digest[:12]):
        found = timeline(repo).resolve("a", name)
        assert isinstance(found, Commit)
        assert found.id == made
    assert isinstance(timeline(repo).resolve("a", "0" * 64), Unavailable)


def test_an_old_record_that_cannot_be_read_today_is_said(repo: Repo) -> None:
    repo.commit({"a": text().replace("kind: indoor sounder", "sort: indoor sounder")}, "2026-01-01")
    repo.commit({"a": text()}, "2026-01-02")
    line = timeline(repo)
    sides = [line.side(commit) for commit in line.revisions("a")]
    assert not isinstance(sides[0], Unavailable)
    assert isinstance(sides[1], Unavailable)
    assert sides[1].says.startswith("that revision cannot be used: line ")


def test_a_firm_s_own_rule_set_is_that_of_the_revision(repo: Repo) -> None:
    own = Path(__file__).parents[2] / "homes" / "rule-sets" / "sallowby.toml"
    (repo.homes / "rule-sets").mkdir()
    shutil.copy(own, repo.homes / "rule-sets" / "sallowby.toml")
    repo.commit({"a": text(rules="sallowby")}, "2026-01-01")
    line = timeline(repo)
    (commit,) = line.revisions("a")
    assert "sallowby" in line.catalogue(commit).names()
    side = line.side(commit)
    assert not isinstance(side, Unavailable)
    assert side.trouble is None


def test_a_home_that_took_the_name_of_another_is_compared_with_its_own_past(repo: Repo) -> None:
    first = repo.commit({"a": text(), "b": text(sleepers="5", home_note="another")}, "2025-05-12")
    repo.commit({"b": None}, "2025-05-13")
    repo.commit({"a": None, "b": text()}, "2025-05-14")
    line = timeline(repo)
    there = line.point("b", line.repository.commit(first))
    assert isinstance(there.side, Side)
    assert there.side.home.household.sleepers == {"bedroom": 2}


@pytest.mark.parametrize(
    ("encoding", "when", "author", "told"),
    [
        ("", "1750000000 +0000", b"J\xf6rg", "J\ufffdrg"),
        ("encoding latin-1\n", "1750000000 +0000", b"J\xf6rg", "J\xf6rg"),
        ("encoding nonsense\n", "1750000000 +0000", b"J\xc3\xb6rg", "J\xf6rg"),
        ("", "99999999999999 -1400", b"Joe", "Joe"),
    ],
)
def test_a_commit_with_an_odd_encoding_or_day_stops_nothing(
    repo: Repo, encoding: str, when: str, author: bytes, told: str
) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    tree = repo.ask("rev-parse", "HEAD^{tree}")[0]
    by = author + f" <a@firm.example> {when}\n".encode()
    body = f"tree {tree}\nparent {old}\nauthor ".encode() + by + b"committer " + by + encoding.encode() + b"\nRecord\n"
    made = repo.git.write(pygit2.enums.ObjectType.COMMIT, body)
    repo.git.references.create("refs/heads/main", made, force=True)
    found = opened(repo).commit(str(made))
    assert (found.author, found.subject) == (told, "Record")
    assert found.day.year in (2025, 8999, 9000)


def test_a_record_that_is_a_folder_is_no_record(repo: Repo) -> None:
    old = repo.commit({"a": text()}, "2025-05-12")
    record = repo.homes / "a" / "record.yml"
    record.unlink()
    record.mkdir()
    (record / "page").write_text("x")
    new = repo.commit({}, "2025-05-13")
    found = opened(repo)
    assert found.changed_homes("homes", old, new, repo.homes) == [ChangedHome("a", None)]
    assert found.changed_homes("homes", new, None, repo.homes) == []
    assert [commit.blob is None for commit in found.revisions("homes/a")] == [True, False]
