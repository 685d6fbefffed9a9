"""``asfitted sample`` as an auditor uses it."""

import hashlib
import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from asfitted.cli import main
from asfitted.fleet.sampling_check import check
from asfitted.fleet.sampling_record import SamplingRecord
from tests.conftest import BROKEN, GOOD, SHORT
from tests.history.repos import Repo

ON = ("--on", "2026-11-25")
SEED = ("--seed", "4-1-6")
Draw = Callable[..., Result]
HOSTILE = "technician \\u202e<script>|`x`|[a](b)".replace("\\u202e", "")


def _by(record: str, who: str, day: str = "2026-10-01") -> str:
    return record + f"  - {{date: {day}, kind: service, by: '{who}', tests: {{SA1: {{button: sounded}}}}}}\n"


RECORDS: dict[str, str | None] = {
    "ash": GOOD,
    "beech": SHORT,
    "cedar": _by(GOOD, "Technician  4"),
    "dogwood": GOOD.replace("2026-03-04", "2022-03-04")
    .replace("2026-03-05", "2022-03-05")
    .replace("2026-01", "2022-01"),
    "elm": BROKEN,
    "fir": _by(GOOD, HOSTILE),
    "gorse": GOOD.replace("visits:\n", "x:\n").split("x:")[0].replace("fitted: 2026-03-04, ", ""),
}


@pytest.fixture(scope="module")
def firm(tmp_path_factory: pytest.TempPathFactory) -> Repo:
    """Give a repository with seven homes, one of which cannot be used."""
    repo = Repo(tmp_path_factory.mktemp("sampling") / "firm")
    repo.commit(RECORDS, "2026-11-20")
    return repo


@pytest.fixture
def draw(firm: Repo, monkeypatch: pytest.MonkeyPatch) -> Iterator[Draw]:
    """Give a function that runs the command there; what a test does to the records is undone."""
    monkeypatch.chdir(firm.root)
    yield lambda *words: CliRunner().invoke(main, ["sample", *words], catch_exceptions=False)
    for record in firm.homes.glob("*/record.yml"):
        if record.parent.name not in RECORDS:
            record.unlink()
            record.parent.rmdir()
    firm.write(RECORDS)


@pytest.fixture
def filed(draw: Draw, tmp_path: Path) -> Path:
    """Give a filed sampling record: two strata and one that cannot be used."""
    file = tmp_path / "audit.json"
    file.write_text(draw("--size", "4", *SEED, *ON, "--by", "failing", "--format", "json").stdout, encoding="ascii")
    return file


def test_the_record_pins_the_population_and_can_be_repeated_by_hand(draw: Draw, filed: Path, firm: Repo) -> None:
    made = json.loads(filed.read_text(encoding="ascii"))
    digests = {home: hashlib.sha256(str(text).encode()).hexdigest() for home, text in RECORDS.items()}
    assert {item["home"]: item["record-sha256"] for item in made["population"]} == digests
    lines = "".join(f"{digests[home]}  {home}/record.yml\n" for home in sorted(digests))
    assert made["population-sha256"] == hashlib.sha256(lines.encode()).hexdigest()
    assert made["context"]["revision"]["commit"] == firm.ask("rev-parse", "HEAD")[0]
    assert made["strata"] == [
        {"stratum": name, "homes": homes, "drawn": drawn, "bounds": bounds}
        for (name, homes, drawn), bounds in zip(
            [("cannot be used", 1, 1), ("failing", homes_of(made, "failing"), 1), ("not failing", 7 - 1 - homes_of(made, "failing"), 2)],
            [item["bounds"] for item in made["strata"]],
            strict=True,
        )
    ]  # fmt: skip
    for part in made["strata"]:
        ids = [item["home"] for item in made["population"] if item["stratum"] == part["stratum"]]
        by_hand = sorted(ids, key=lambda home: hashlib.sha256(f"4-1-6/{home}".encode()).hexdigest())[: part["drawn"]]
        assert [item["home"] for item in made["drawn"] if item["stratum"] == part["stratum"]] == by_hand
    again = draw("--size", "4", *SEED, *ON, "--by", "failing", "--format", "json").stdout
    assert again == filed.read_text(encoding="ascii")


def homes_of(made: dict[str, Any], stratum: str) -> int:
    """Count the homes of a stratum in the population."""
    return sum(item["stratum"] == stratum for item in made["population"])


def test_the_strata_are_what_the_records_say(draw: Draw) -> None:
    said = draw("--size", "7", *SEED, *ON, "--by", "rules,age,technician", "--format", "json").stdout
    strata = {item["home"]: item["stratum"] for item in json.loads(said)["population"]}
    assert strata == {
        "ash": "common, under 1 year, visited by technician 1",
        "beech": "common, under 1 year, visited by technician 1",
        "cedar": "common, under 1 year, visited by technician 4",
        "dogwood": "common, 3 to 6 years, visited by technician 1",
        "elm": "cannot be used",
        "fir": f"common, under 1 year, visited by {HOSTILE}",
        "gorse": "common, age not known, no technician's visit",
    }


OLDER = """\
  - {date: 2026-10-01, kind: service, by: technician 2}
  - {date: 2026-10-05, kind: household test, by: householder}
  - {date: 2026-10-06, kind: service, by: technician 3, corrects: 2026-03-04}
  - {date: 2027-01-05, kind: service, by: technician 9}
"""


def test_the_last_visit_is_the_technician_s_and_none_that_is_to_come(draw: Draw, firm: Repo) -> None:
    firm.write({"larch": GOOD + OLDER})
    said = draw("--size", "8", *SEED, *ON, "--by", "technician", "--format", "json").stdout
    strata = {item["home"]: item["stratum"] for item in json.loads(said)["population"]}
    assert strata["larch"] == "visited by technician 2"


def test_a_firm_s_own_rule_set_is_pinned_by_its_file(draw: Draw, firm: Repo, filed: Path) -> None:
    own = firm.homes / "rule-sets" / "ours.toml"
    own.parent.mkdir()
    own.write_text('title = "Our way"\nabout = "Ours."\nextends = "uk-england"\n', encoding="utf-8")
    firm.write({"ash": GOOD.replace("label: Cabin", "rules: ours, label: Cabin")})
    try:
        made = draw("--size", "4", *SEED, *ON, "--by", "rules", "--format", "json").stdout
        filed.write_text(made, encoding="ascii")
        used = {item["name"]: item["sha256"] for item in json.loads(made)["context"]["rule-sets"]}
        assert used["ours"] == hashlib.sha256(own.read_bytes()).hexdigest()
        assert (used["uk-england"], used["common"]) == (None, None)
        own.write_text(own.read_text(encoding="utf-8") + "# changed\n", encoding="utf-8")
        assert "The firm's own rule set ours changed." in draw("--verify", str(filed)).stdout
    finally:
        own.unlink()
        own.parent.rmdir()


def test_a_home_that_cannot_be_used_is_drawn_from_and_said(draw: Draw) -> None:
    done = draw("--size", "7", *SEED, *ON)
    assert done.exit_code == 0
    assert "homes/elm/record.yml:10:9  cannot be used" in done.stderr
    assert "In the population though they cannot be used: elm." in done.stdout
    assert "elm  cannot be used" in done.stdout


def test_the_size_for_a_confidence_holds_over_the_strata_and_the_working_is_shown(draw: Draw) -> None:
    said = draw("--faulty", "2", *SEED, *ON, "--by", "none").stdout
    # N = 7, D = 2: C(5, 5) / C(7, 5) = 1/21 = 0.048 is the first no more than 0.05; C(5, 4) / C(7, 4) = 5/35
    assert "The smallest n with P(at most a) no more than 0.05 is n = 5" in said
    assert "P = C(5, 5) / C(7, 5) = 0.04762; with n = 4 it is 0.1429." in said
    assert (
        "If 2 or more of the 7 homes are faulty, the chance that none of the 5 drawn is faulty is no more than" in said
    )
    data = json.loads(draw("--faulty", "25%", *SEED, *ON, "--by", "failing", "--format", "json").stdout)
    assert data["size"] >= 5
    assert data["bounds"] == [{"found": 0, "at-most": 1}]
    accepted = draw("--faulty", "4", "--accept", "1", "--confidence", "80%", *SEED, *ON, "--by", "failing").stdout
    assert "C(4, 0) C(3, 4) + C(4, 1) C(3, 3)" in accepted
    assert "draw with --by none where the figure has to hold" in accepted


def test_a_size_given_says_when_it_is_not_enough(draw: Draw) -> None:
    said = draw("--size", "2", "--faulty", "2", *SEED, *ON, "--by", "none").stdout
    assert "no more than 0.4762. That is too much for a confidence of 95%." in said
    assert "If 1 of the 2 drawn is faulty" in said


def test_more_strata_than_homes_to_draw_leave_out_the_factor_named_last(draw: Draw) -> None:
    data = json.loads(draw("--size", "3", *SEED, *ON, "--by", "failing,technician,age", "--format", "json").stdout)
    assert data["by"] == ["failing"]
    assert any("left out: technician, age" in line for line in data["method"])


def test_verify_finds_the_same_draw(draw: Draw, filed: Path) -> None:
    done = draw("--verify", str(filed))
    assert done.exit_code == 0
    assert "The same homes come out, each with the record that was drawn." in done.stdout
    assert "Nothing that the draw rests on." in done.stdout


def test_verify_names_what_changed_and_lets_a_change_elsewhere_pass(draw: Draw, filed: Path, firm: Repo) -> None:
    drawn = [item["home"] for item in json.loads(filed.read_text(encoding="ascii"))["drawn"]]
    left = next(home for home in ("ash", "cedar", "dogwood", "gorse", "fir") if home not in drawn)
    firm.write({left: f"{RECORDS[left]}# changed\n"})
    done = draw("--verify", str(filed), "--format", "json")
    assert done.exit_code == 0
    assert json.loads(done.stdout) == {
        "holds": True, "faults": [], "draw": [], "changes": [f"records changed: {left}"],
    }  # fmt: skip
    firm.write({drawn[-1]: f"{RECORDS[drawn[-1]]}# changed\n", "new": GOOD})
    done = draw("--verify", str(filed), "--format", "markdown")
    assert done.exit_code == 1
    for words in ("Drawn still, but the record is another", "Homes added&#58; new", "To repeat it as it was"):
        assert words in done.stdout


def test_verify_finds_a_filed_record_that_was_edited(draw: Draw, filed: Path) -> None:
    made = json.loads(filed.read_text(encoding="ascii"))
    drawn = {item["home"] for item in made["drawn"]}
    other = next(home for home in RECORDS if home not in drawn)

    def after(edit: Callable[[dict[str, Any]], Any]) -> list[str]:
        data = json.loads(filed.read_text(encoding="ascii"))
        edit(data)
        edited = SamplingRecord.model_validate_json(json.dumps(data), by_alias=True, by_name=False)
        return [*check(edited, None).faults]

    swapped = after(lambda data: data["drawn"][0].update(home=other))
    assert any("does not draw" in fault for fault in swapped)
    assert any("leaves out" in fault for fault in swapped)
    assert after(lambda data: data["population"].pop(0))[0].startswith("its population does not have the SHA-256")
    assert "population and seed" in after(lambda data: data["drawn"][0].update({"record-sha256": "0" * 64}))[0]
    assert "numbers" in after(lambda data: data["strata"][0].update(homes=9))[0]
    assert "at most" in after(lambda data: data["bounds"][0].update({"at-most": 0}))[0]
    assert "at most" in after(lambda data: data["strata"][0]["bounds"][0].update({"at-most": 99}))[0]
    assert "twice" in after(lambda data: data["population"].append(data["population"][0]))[0]
    assert "size" in after(lambda data: data.update(size=1))[0]
    filed.write_text(filed.read_text(encoding="ascii").replace(made["population-sha256"], "0" * 64), encoding="ascii")
    done = draw("--verify", str(filed))
    assert done.exit_code == 1
    assert "Its population does not have the SHA-256 that it names." in done.stdout


@pytest.mark.parametrize(
    "text", ["", "{}", "[1]", "[" * 5000, '{"sampling-record": 1}', "\x00\x1b[2J", '{"\\u001b[2J": 1}']
)
def test_a_file_that_is_no_sampling_record_is_said(draw: Draw, tmp_path: Path, text: str) -> None:
    (tmp_path / "no.json").write_text(text, encoding="utf-8")
    done = draw("--verify", str(tmp_path / "no.json"))
    assert done.exit_code == 2
    assert "no sampling record" in done.stderr
    assert "\x1b" not in done.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--seed", "1"), "give --size, or --faulty"),
        (("--size", "1"), "--seed: give"),
        (("--size", "1", "--seed", "a b"), "--seed: give"),
        (("--size", "8", "--seed", "1"), "8 homes cannot be drawn from 7"),
        (("--size", "1", "--seed", "1", "--by", "ruls"), "Did you mean rules?"),
        (("--faulty", "8", "--seed", "1"), "--faulty 8 of 7 homes"),
        (("--faulty", "1", "--accept", "1", "--seed", "1"), "with --accept 1"),
        (("--faulty", "0.1", "--seed", "1"), "neither a share"),
        (("--faulty", "2", "--confidence", "100%", "--seed", "1"), "between 0% and 100%"),
        (("--size", "1", "--seed", "1", "--homes", "nowhere"), "asfitted new HOME"),
    ],
)
def test_a_plan_that_cannot_be_used_is_said(draw: Draw, words: tuple[str, ...], says: str) -> None:
    done = draw(*words, *ON)
    assert done.exit_code == 2
    assert says in done.stderr


def test_verify_takes_no_plan_beside_the_filed_one(draw: Draw, filed: Path) -> None:
    done = draw("--verify", str(filed), "--size", "3")
    assert done.exit_code == 2
    assert "leave it out" in done.stderr


def test_on_a_terminal_of_80_columns_nothing_is_wider(draw: Draw, filed: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")
    monkeypatch.setenv("COLUMNS", "80")
    for words in (("--size", "6", *SEED, *ON, "--by", "technician,age"), ("--verify", str(filed))):
        lines = re.sub(r"\x1b\[[0-9;]*m", "", draw(*words).stdout).splitlines()
        assert max(map(len, lines)) <= 80


def test_text_of_a_record_is_made_harmless(draw: Draw, firm: Repo) -> None:
    firm.write({"ev\x1b[31mil `x` |": GOOD})
    for form in ("text", "markdown"):
        said = draw("--size", "8", *SEED, *ON, "--by", "technician", "--format", form).stdout
        assert "\x1b" not in said
        if form == "markdown":
            for sign in ("<script", "[a](b)", "`x`"):
                assert sign not in said
            table = [line for line in said.splitlines() if line.startswith("| ")]
            assert {line.count("|") for line in table} == {8}


def test_the_handbook_names_every_key_of_the_record(filed: Path) -> None:
    handbook = (Path(__file__).parents[2] / "docs" / "sampling.md").read_text(encoding="utf-8")

    def keys(data: object) -> set[str]:
        if isinstance(data, dict):
            return {*data, *(key for value in data.values() for key in keys(value))}
        return {key for value in data for key in keys(value)} if isinstance(data, list) else set()

    assert [
        key for key in sorted(keys(json.loads(filed.read_text(encoding="ascii")))) if f"`{key}`" not in handbook
    ] == []


def test_without_a_repository_it_is_said(tmp_path: Path) -> None:
    (tmp_path / "homes" / "a").mkdir(parents=True)
    (tmp_path / "homes" / "a" / "record.yml").write_text(GOOD, encoding="utf-8")
    done = CliRunner().invoke(main, ["sample", "--size", "1", *SEED, *ON, "--homes", str(tmp_path / "homes")])
    assert done.exit_code == 0
    assert "no revision can be named" in done.stdout
