"""Building sites: bad input never costs another home or an earlier good site."""

from datetime import date
from pathlib import Path

import pytest

from asfitted.fleet.build import Order, build_sites
from asfitted.fleet.site_maker import SiteMaker
from asfitted.pages import engine
from asfitted.pages.engine import EngineFailed, SiteConfig
from asfitted.pages.tree import write_tree, written_aside
from tests.conftest import BROKEN, GOOD, SHORT, Run

ON = ("--on", "2026-11-25")
BAD: dict[str, bytes] = {
    "broken YAML": b"record: [1\nhome: }",
    "a repeated key": GOOD.replace("visits:", "devices: {}\nvisits:").encode(),
    "aliases that explode": b"a: &a [x, x]\nb: &b [*a, *a]\nrecord: 1\nhome: *b\n",
    "a wrong type": GOOD.replace("size: [4.0, 4.0]", "size: big").encode(),
    "an impossible date": GOOD.replace("date: 2026-03-04", "date: 2026-02-30").encode(),
    "a negative size": GOOD.replace("[4.0, 4.0]", "[-4.0, 4.0]").encode(),
    "not a number": GOOD.replace("from-west: 2.0", "from-west: .nan").encode(),
    "ten megabytes": GOOD.encode() + b"# " + b"x" * 10_000_000,
    "no UTF-8": GOOD.replace("Cabin", "Caf\xe9").encode("latin-1"),
    "nothing": b"",
}


def site_of(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.mark.parametrize("what", BAD)
def test_bad_input_is_one_clear_error_that_ends_with_2(run: Run, what: str) -> None:
    done = run("check", *ON, homes={"bad": BAD[what], "good": GOOD})
    assert done.exit_code == 2
    assert "Traceback" not in done.output
    lines = done.stderr.splitlines()
    assert lines[0].startswith("homes/bad/record.yml:")
    assert lines[0].endswith("cannot be used")
    assert "; expected " in lines[1]
    assert len(lines) == 2
    assert " good " in done.stdout


def test_a_missing_record_is_an_error_that_says_how_to_start_one(run: Run, tmp_path: Path) -> None:
    (tmp_path / "homes/empty").mkdir(parents=True)
    done = run("check", *ON)
    assert done.exit_code == 2
    assert "asfitted new empty" in done.stderr


def test_a_bad_record_leaves_the_earlier_site_and_the_others_are_built(run: Run, tmp_path: Path) -> None:
    assert run("build", *ON, homes={"one": GOOD, "two": SHORT}).exit_code == 0
    before = site_of(tmp_path / "site/homes/one")
    done = run("build", "--on", "2026-11-26", homes={"one": BROKEN})
    assert done.exit_code == 2
    assert site_of(tmp_path / "site/homes/one") == before
    assert b"26 November 2026" in (tmp_path / "site/homes/two/index.html").read_bytes()
    office = (tmp_path / "site/office/homes/index.html").read_text(encoding="utf-8")
    assert "Did you mean kind?" in office


def test_the_same_input_and_day_give_the_same_bytes(run: Run, tmp_path: Path) -> None:
    run("build", *ON, "--to", "first", homes={"one": SHORT})
    run("build", *ON, "--to", "second")
    for part in ("homes", "office", "trees"):
        first, second = site_of(tmp_path / "first" / part), site_of(tmp_path / "second" / part)
        assert first.keys() == second.keys() != set()
        assert [name for name in first if first[name] != second[name]] == []


def test_a_home_named_alone_is_built_alone(run: Run, tmp_path: Path) -> None:
    done = run("build", "one", *ON, homes={"one": GOOD, "two": GOOD})
    assert done.exit_code == 0
    assert [path.name for path in (tmp_path / "site/homes").iterdir()] == ["one"]
    assert not (tmp_path / "site/office").exists()


def test_nothing_of_one_home_stands_in_the_folder_of_another(run: Run, tmp_path: Path) -> None:
    run("build", *ON, homes={"one": GOOD.replace("Cabin with one room", "Zanzibar"), "two": GOOD})
    for content in site_of(tmp_path / "site/homes/two").values():
        assert b"Zanzibar" not in content


def test_a_written_tree_needs_nothing_of_ours(run: Run, tmp_path: Path) -> None:
    run("build", *ON, homes={"one": GOOD})
    for tree in ("homes/one", "office"):
        config = (tmp_path / "site/trees" / tree / "mkdocs.yml").read_text(encoding="utf-8")
        assert "asfitted:" not in config
        assert "- asfitted" not in config


def test_a_failing_engine_leaves_the_earlier_site_and_no_litter(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("build", *ON, homes={"one": GOOD})
    parts = ("homes", "office", "trees")
    before = [site_of(tmp_path / "site" / part) for part in parts]
    monkeypatch.setattr(SiteMaker, "_render", _stops)
    order = Order(tmp_path / "homes", tmp_path / "site", date(2026, 11, 26), SiteConfig())
    built = build_sites(order, ["one"])
    assert [site.trouble for site in built] == ["the site engine stopped: out of paper"] * 2
    assert [site_of(tmp_path / "site" / part) for part in parts] == before


def test_the_engine_that_is_asked_for_renders_every_site(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []

    def told(*given: object) -> int:
        asked.append(given[-1])
        return 1

    def warm(*_: object) -> int:
        asked.append("warm")
        return 1

    monkeypatch.setattr("asfitted.fleet.site_maker.render_site", told)
    monkeypatch.setattr("asfitted.pages.engines.warm.WarmEngine.render", warm)
    config = tmp_path / "mkdocs.yml"
    (tmp_path / "docs").mkdir()
    config.write_text("site_name: x\nextra: {engine: zensical}\n", encoding="utf-8")
    assert run("build", *ON, homes={"one": GOOD}).exit_code == 0
    assert run("build", *ON, "--engine", "mkdocs").exit_code == 0
    assert asked == ["zensical"] * 2 + ["mkdocs", "warm"]
    config.write_text("site_name: x\nextra: {engine: steam}\n", encoding="utf-8")
    done = run("build", *ON)
    assert done.exit_code != 0
    assert "found steam; expected one of mkdocs, zensical" in done.stderr


def _stops(*_: object, **__: object) -> int:
    raise EngineFailed("out of paper")


def test_a_link_that_leads_nowhere_stops_the_engine_with_the_reason(tmp_path: Path) -> None:
    write_tree({"mkdocs.yml": "site_name: x\n", "docs/index.md": "[x](nowhere.md)\n"}, tmp_path / "tree")
    with pytest.raises(EngineFailed, match="nowhere"):
        engine.render_site(tmp_path / "tree", tmp_path / "site", date(2026, 11, 25))


def test_a_tree_cannot_leave_its_folder(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="would leave"):
        write_tree({"../outside.md": "x"}, tmp_path / "tree")
    assert not (tmp_path / "outside.md").exists()


def _break_off(target: Path) -> None:
    with written_aside(target) as aside:
        (aside / "a").write_text("half", encoding="utf-8")
        raise KeyError


def test_what_is_written_aside_takes_the_place_whole_or_not_at_all(tmp_path: Path) -> None:
    target = tmp_path / "site"
    with written_aside(target) as aside:
        (aside / "a").write_text("old", encoding="utf-8")
    with pytest.raises(KeyError):
        _break_off(target)
    assert (target / "a").read_text(encoding="utf-8") == "old"
    with written_aside(target) as aside:
        (aside / "b").write_text("new", encoding="utf-8")
    assert [path.name for path in target.iterdir()] == ["b"]
    assert [path.name for path in tmp_path.iterdir()] == ["site"]


def test_a_device_that_has_no_place_yet_is_listed_as_such_in_both_editions(run: Run, tmp_path: Path) -> None:
    spare = GOOD.replace("visits:", "  XX1: {kind: heat alarm, name: spare heat alarm}\nvisits:")
    assert run("build", *ON, homes={"one": spare}).exit_code == 0
    rooms = (tmp_path / "site/office/homes/one/rooms.html").read_text(encoding="utf-8")
    assert 'id="not-yet-placed"' in rooms
    assert 'id="xx1"' in rooms
    assert "Not yet placed" in (tmp_path / "site/homes/one/devices.html").read_text(encoding="utf-8")
