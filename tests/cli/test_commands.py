"""What each command prints and how it ends."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from asfitted.cli import COMMANDS
from asfitted.record.schema import record_schema
from tests.conftest import BROKEN, GOOD, SHORT, Run

ROOT = Path(__file__).parents[2]
ON = ("--on", "2026-11-25")


def test_help_names_every_command_and_loads_none_of_the_heavy_libraries() -> None:
    code = (
        "import sys; from asfitted.cli import main\n"
        "try: main(['--help'])\n"
        "except SystemExit: pass\n"
        "print([m for m in ('shapely', 'pint', 'pydantic', 'mkdocs', 'yaml', 'rich.console', 'numpy', 'pygit2') if m in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip().endswith("[]")
    for name in COMMANDS:
        assert f"  {name} " in said


@pytest.mark.parametrize("name", ["check", "due"])
def test_a_command_that_shows_no_revision_does_not_ask_git(
    run: Run, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    monkeypatch.setattr("asfitted.fleet.load.revisions_of", lambda *_: pytest.fail("git was asked"))
    assert run(name, *ON, homes={"good": GOOD}).exit_code == 0


def test_check_loads_no_library_that_it_does_not_use(tmp_path: Path) -> None:
    (tmp_path / "good").mkdir()
    (tmp_path / "good" / "record.yml").write_text(GOOD, encoding="utf-8")
    code = (
        "import sys; from asfitted.cli import main\n"
        f"try: main(['check', '--homes', {str(tmp_path)!r}, *{ON}])\n"
        "except SystemExit as ended: assert ended.code == 0\n"
        "print([m for m in ('pint', 'mkdocs', 'jinja2', 'svgwrite', 'icalendar', 'networkx', 'pygit2') if m in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout
    assert said.strip().endswith("[]")


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_with_an_example_and_stands_in_the_handbook(run: Run, name: str) -> None:
    said = run(name, "--help").output
    assert f"asfitted {name}" in said.split("Example", 1)[1]
    handbook = "".join(file.read_text(encoding="utf-8") for file in sorted((ROOT / "docs").rglob("*.md")))
    assert f"asfitted {name}" in handbook


def test_check_ends_with_0_when_nothing_falls_short(run: Run) -> None:
    done = run("check", *ON, homes={"good": GOOD})
    assert done.exit_code == 0
    assert "record.yml:" not in done.stdout


def test_check_says_where_what_and_what_to_do_and_ends_with_1(run: Run) -> None:
    done = run("check", *ON, homes={"good": GOOD, "short": SHORT})
    assert done.exit_code == 1
    lines = done.stdout.splitlines()
    assert lines[0] == "homes/short/record.yml:10:3  does not conform  smoke alarm clear of walls"
    assert (
        lines[1] == "  SA1 (cabin) is 0.31 m from the west wall; the rule asks for at least 0.50 m (common practice)."
    )
    assert lines[2].startswith(
        "  Move it 0.21 m east, to 2.00 m from south and 0.52 m from west. There it stays 0.52 m from"
    )


def test_check_of_one_home_leaves_the_others_alone(run: Run) -> None:
    assert run("check", "good", *ON, homes={"good": GOOD, "short": SHORT, "broken": BROKEN}).exit_code == 0
    assert run("check", "homes/short/record.yml", *ON).exit_code == 1
    assert run("check", "homes/short/", *ON).exit_code == 1


def test_check_ends_with_2_for_a_record_that_cannot_be_used_and_still_checks_the_others(run: Run) -> None:
    done = run("check", *ON, homes={"broken": BROKEN, "short": SHORT})
    assert done.exit_code == 2
    assert "homes/broken/record.yml:10:9  cannot be used" in done.stderr
    assert "Did you mean kind?" in done.stderr
    assert "homes/short/record.yml:10:3  does not conform" in done.stdout


def test_check_as_data_holds_every_finding_with_its_figures_and_source(run: Run) -> None:
    done = run("check", "--format", "json", *ON, homes={"short": SHORT, "broken": BROKEN})
    assert done.exit_code == 2
    broken, short = json.loads(done.stdout)
    assert broken["findings"] == []
    assert broken["troubles"][0]["line"] == 10
    (finding,) = [f for f in short["findings"] if f["rule"] == "smoke-clear-of-wall"]
    assert finding["verdict"] == "does not conform"
    assert (finding["found"], finding["least"], finding["most"], finding["unit"]) == (
        pytest.approx(0.31),
        0.5,
        None,
        "m",
    )
    assert (finding["source"], finding["status"]) == ("common practice", "common practice")
    assert {f["verdict"] for f in short["findings"]} >= {"conforms", "not applicable"}


def test_an_unknown_home_is_answered_with_the_nearest(run: Run) -> None:
    done = run("check", "goood", homes={"good": GOOD})
    assert done.exit_code == 2
    assert "Did you mean good?" in done.stderr


def test_no_home_at_all_says_how_to_start(run: Run) -> None:
    done = run("check")
    assert done.exit_code == 2
    assert "asfitted new HOME" in done.stderr


def test_text_of_a_record_cannot_steer_the_terminal(run: Run) -> None:
    done = run("check", *ON, homes={"rogue": GOOD.replace("kind: smoke alarm", r'kind: "\e[31mred\a"')})
    assert done.exit_code == 2
    assert "\x1b" not in done.output
    assert "\x07" not in done.output
    marked = GOOD.replace("name: cabin smoke alarm", "name: '[bold red]loud[/] :boom:'")
    assert "“[bold red]loud[/] :boom:”" in run("check", "rogue", "--all", *ON, homes={"rogue": marked}).stdout


def test_new_writes_a_record_that_can_be_checked_at_once(run: Run, tmp_path: Path) -> None:
    assert run("new", "mill-cottage").exit_code == 0
    assert run("check", "mill-cottage", *ON).exit_code == 0
    first = (tmp_path / "homes/mill-cottage/record.yml").read_text(encoding="utf-8").splitlines()[0]
    schema = tmp_path / "homes/mill-cottage" / first.partition("$schema=")[2]
    assert schema.read_text(encoding="utf-8") == record_schema()


def test_new_never_overwrites(run: Run, tmp_path: Path) -> None:
    done = run("new", "good", homes={"good": GOOD})
    assert done.exit_code == 1
    assert "left as it is" in done.stderr
    assert (tmp_path / "homes/good/record.yml").read_text(encoding="utf-8") == GOOD


@pytest.mark.parametrize("name", ["Mill Cottage", "../elsewhere", "a/b", "", "-x", "mill_cottage", "x" * 61])
def test_new_refuses_names_that_are_no_folder_of_ours(run: Run, tmp_path: Path, name: str) -> None:
    done = run("new", "--", name)
    assert done.exit_code == 2
    assert list(tmp_path.iterdir()) == []


def test_due_lists_what_is_due_by_a_day_with_the_overdue_marked(run: Run) -> None:
    done = run("due", "--by", "2026-12-31", *ON, homes={"good": GOOD})
    assert done.exit_code == 0
    assert "2026-04-04" in done.stdout  # a month after the button was last pressed
    assert "235 days overdue" in done.stdout  # 4 April to 25 November 2026, counted on a calendar
    assert "SA1" in done.stdout
    assert run("due", "--by", "2026-12-31", "--who", "technician", *ON).stdout.count("SA1") < done.stdout.count("SA1")


def test_due_says_so_when_nothing_is(run: Run) -> None:
    done = run("due", "--by", "2026-03-05", "--on", "2026-03-05", homes={"good": GOOD})
    assert done.stdout == "Nothing is due by 2026-03-05.\n"


def test_rules_lists_every_rule_and_shows_one_whole(run: Run) -> None:
    said = run("rules").stdout
    assert "smoke-clear-of-wall" in said
    assert "keyholders" in said
    shown = run("rules", "show", "smoke-clear-of-wall").stdout
    assert "A smoke alarm on a ceiling stands at least 0.50 m from every wall." in shown
    assert "common practice" in shown
    assert "Did you mean smoke-clear-of-wall?" in run("rules", "show", "smoke-clear-of-wal").stderr
    assert "there are: common" in run("rules", "--set", "atlantis").stderr


def test_schema_is_given_and_written(run: Run, tmp_path: Path) -> None:
    assert run("schema").stdout == record_schema()
    assert run("schema", "--write").exit_code == 0
    assert (tmp_path / "homes/record.schema.json").read_text(encoding="utf-8") == record_schema()


def test_the_schema_beside_the_demo_homes_is_the_present_one() -> None:
    assert (ROOT / "homes/record.schema.json").read_text(encoding="utf-8") == record_schema()


def test_a_day_that_is_none_is_a_usage_error(run: Run) -> None:
    done = run("check", "--on", "2026-02-30", homes={"good": GOOD})
    assert done.exit_code == 2
    assert "write it as 2026-11-25" in done.stderr


def test_where_says_how_much_will_do_and_the_best_place_as_a_tape_shows_it(run: Run) -> None:
    done = run("where", "good", "cabin", "smoke", "alarm", *ON, homes={"good": GOOD})
    assert done.exit_code == 0
    lines = done.stdout.splitlines()
    assert lines[0] == "smoke alarm in the cabin, by the rule set of common practice"
    # 4.00 m square, 0.50 m from every wall and 0.02 m for the tape: 2.96 m square
    assert "Ceiling: 8.8 of 16.0 m² will do" in lines
    assert any(line.startswith("  Best: 2.00 m from the west wall and 2.00 m from the south wall.") for line in lines)
    assert any("smoke alarm clear of walls: at least 0.50 m; common practice." in line for line in lines)
    assert any(line.startswith("South wall: ") for line in lines)


def test_where_names_the_rules_that_leave_no_place(run: Run) -> None:
    tight = GOOD.replace("size: [4.0, 4.0]", "size: [4.0, 0.9]").replace("from-south: 2.0", "from-south: 0.45")
    done = run("where", "tight", "cabin", "smoke-alarm", *ON, homes={"tight": tight})
    assert "Ceiling: no place" in done.stdout
    assert "“smoke alarm clear of walls” (at least 0.50 m) cannot be met." in done.stdout


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("cabni", "smoke", "alarm"), "Did you mean cabin?"),
        (("cabin", "smok", "alarm"), "Did you mean smoke alarm?"),
        (("cabin", "opening", "contact"), "goes on the door or window it watches"),
        (("cabin", "smoke", "alarm", "--set", "uk-englnd"), "Did you mean uk-england?"),
        (("cabin", "smoke", "alarm", "--across", "wide"), "--across"),
        (("cabin", "smoke", "alarm", "--across", "12 m"), "no width of a device"),
        (("cabin", "smoke", "alarm", "--wall", "nrth"), "Did you mean north?"),
        (("cabin", "smoke", "alarm", "--svg", "missing/folder/x.svg"), "cannot be written"),
    ],
)
def test_where_says_what_is_wrong_with_a_question(run: Run, arguments: tuple[str, ...], says: str) -> None:
    done = run("where", "good", *arguments, *ON, homes={"good": GOOD})
    assert done.exit_code == 2
    assert says in done.stderr


def test_where_ends_with_2_for_a_record_that_cannot_be_used(run: Run) -> None:
    done = run("where", "broken", "cabin", "smoke", "alarm", *ON, homes={"broken": BROKEN})
    assert done.exit_code == 2
    assert "record.yml:" in done.stderr


@pytest.mark.parametrize("extra", [(), ("--wall", "north")])
def test_where_draws_its_answer(run: Run, tmp_path: Path, extra: tuple[str, ...]) -> None:
    done = run("where", "good", "cabin", "smoke", "alarm", *extra, "--svg", "answer.svg", *ON, homes={"good": GOOD})
    assert done.exit_code == 0
    drawn = (tmp_path / "answer.svg").read_text(encoding="utf-8")
    assert drawn.startswith("<?xml ")
    assert "may go here" in drawn


def test_where_shows_text_of_a_record_without_what_steers_a_terminal(run: Run) -> None:
    named = GOOD.replace("{id: cabin,", '{id: cabin, name: "den [bold]x",')
    done = run("where", "named", "cabin", "smoke", "alarm", *ON, homes={"named": named})
    assert "in the den [bold]x, by" in done.stdout
