"""Building many homes: what has not changed is left alone, no process loses another's work, nothing is half built."""

import errno
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from shutil import copytree, rmtree

import pytest

from asfitted.fleet.build import Busy, Order, build_sites
from asfitted.fleet.crew import made
from asfitted.fleet.inputs import common_to_all
from asfitted.fleet.site_maker import Built, SiteMaker, Work
from asfitted.pages.dossier import Firm
from asfitted.pages.engine import SiteConfig, render_site
from asfitted.pages.engines import warm
from asfitted.pages.engines.shared import Store
from tests.benchmarks.crash import crash
from tests.benchmarks.fleets import record, write
from tests.conftest import BROKEN, GOOD, THOROUGH, Run

ON = date(2026, 11, 25)
HOMES = {
    "ahus": GOOD.replace("label: Cabin", "language: nb, label: Cabin"),
    "berg": GOOD.replace("label: Cabin", "language: de, label: Cabin"),
    "cove": GOOD,
}
Build = Callable[..., list[Built]]


def put(homes: Path, records: dict[str, str]) -> Path:
    for name, text in records.items():
        (homes / name).mkdir(parents=True, exist_ok=True)
        (homes / name / "record.yml").write_text(text, encoding="utf-8")
    return homes


def files(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


@pytest.fixture(scope="module")
def serial(tmp_path_factory: pytest.TempPathFactory) -> Order:
    """Build homes in three languages one after the other, in this process."""
    base = tmp_path_factory.mktemp("serial")
    order = Order(put(base / "homes", HOMES), base / "site", ON, SiteConfig())
    built = build_sites(order, list(HOMES), office=False, jobs=1)
    assert [site.trouble for site in built] == [""] * len(HOMES)
    return order


def test_several_processes_build_the_same_bytes_as_one(serial: Order, tmp_path: Path) -> None:
    built = build_sites(replace(serial, to=tmp_path / "site"), list(HOMES), office=False, jobs=2)
    assert [site.name for site in built] == list(HOMES)
    for part in ("homes", "trees"):
        assert files(tmp_path / "site" / part) == files(serial.to / part)


def test_the_warm_engine_renders_the_same_bytes_as_one_process_a_home(serial: Order, tmp_path: Path) -> None:
    assert warm.proven(), "compare the bytes with the new versions, then add them to PROVEN"
    for name in HOMES:
        pages = render_site(serial.tree(name), tmp_path / name, ON)
        assert files(tmp_path / name) == files(serial.site(name))
        assert pages == len(list(serial.site(name).rglob("*.html")))


def test_the_warm_engine_renders_a_whole_house_the_same(tmp_path: Path) -> None:
    order = Order(put(tmp_path / "homes", {"house": record(3, 5)}), tmp_path / "site", ON, SiteConfig())
    build_sites(order, ["house"], office=False)
    render_site(order.tree("house"), tmp_path / "plain", ON)
    assert files(tmp_path / "plain") == files(order.site("house"))


def test_an_engine_of_another_version_renders_as_it_comes(
    serial: Order, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(warm, "PROVEN", {"mkdocs": ("0.1",)})
    monkeypatch.setattr("asfitted.pages.engines.mkdocs.render", lambda *_: 7)
    assert warm.WarmEngine(Store(tmp_path)).render(serial.tree("cove"), tmp_path / "x", ON) == 7


def test_what_sites_share_is_stored_once_and_each_site_copies_alone(serial: Order, tmp_path: Path) -> None:
    theme = next((serial.site("cove") / "assets/stylesheets").glob("main.*.css"))
    assert theme.stat().st_nlink == len(HOMES) + 1
    rmtree(tmp_path / "copy", ignore_errors=True)
    subprocess.run(["cp", "-r", serial.site("cove"), tmp_path / "copy"], check=True)
    assert files(tmp_path / "copy") == files(serial.site("cove"))


def test_a_shared_file_that_was_altered_is_not_passed_on(tmp_path: Path) -> None:
    source = tmp_path / "a.css"
    source.write_text("a", encoding="utf-8")
    Store(tmp_path / "store").link(source, tmp_path / "one/a.css")
    (tmp_path / "one/a.css").write_text("altered", encoding="utf-8")
    Store(tmp_path / "store").link(source, tmp_path / "two/a.css")
    assert (tmp_path / "two/a.css").read_text(encoding="utf-8") == "a"


def test_where_nothing_can_be_linked_files_are_copied(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    source = tmp_path / "a.css"
    source.write_text("a", encoding="utf-8")
    monkeypatch.setattr(os, "link", _full)
    Store(tmp_path / "store").link(source, tmp_path / "one/a.css")
    assert (tmp_path / "one/a.css").read_text(encoding="utf-8") == "a"


@pytest.fixture
def quick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Order:
    """Give an order over two homes whose sites are one small page each."""

    def page(_: object, tree: Path, site: Path, **__: object) -> int:
        (site / "index.html").write_bytes((tree / "docs/index.md").read_bytes())
        return 1

    def tree(dossier: object, firm: Firm) -> dict[str, str]:
        return {"docs/index.md": f"{dossier.id} {dossier.on} {firm.name}"}  # type: ignore[attr-defined]

    monkeypatch.setattr(SiteMaker, "_render", page)
    monkeypatch.setattr("asfitted.fleet.site_maker.household_tree", tree)
    homes = put(tmp_path / "homes", {"cove": GOOD, "dale": GOOD})
    return Order(homes, tmp_path / "site", ON, SiteConfig())


def built_again(order: Order, *, fresh: bool = False, keep_days: int = 0) -> list[str]:
    built = build_sites(order, ["cove", "dale"], office=False, fresh=fresh, keep_days=keep_days)
    return [site.name for site in built if not site.kept]


def test_only_a_home_whose_inputs_changed_is_built_again(quick: Order) -> None:
    assert built_again(quick) == ["cove", "dale"]
    assert built_again(quick) == []
    put(quick.homes, {"dale": GOOD + "# measured again\n"})
    assert built_again(quick) == ["dale"]
    (quick.homes / "cove/photos").mkdir()
    (quick.homes / "cove/photos/a.jpg").write_bytes(b"a")
    assert built_again(quick) == ["cove"]
    (quick.homes / "cove/photos/a.jpg").write_bytes(b"b!")
    assert built_again(quick) == ["cove"]
    assert built_again(quick) == []
    assert built_again(replace(quick, config=SiteConfig(firm=Firm(name="Another")))) == ["cove", "dale"]


def test_another_day_or_fresh_builds_all_again(quick: Order) -> None:
    assert built_again(quick) == ["cove", "dale"]
    assert built_again(quick, fresh=True) == ["cove", "dale"]
    assert built_again(replace(quick, on=date(2026, 11, 26))) == ["cove", "dale"]


def test_a_site_may_stand_for_some_days_but_not_past_a_date_of_its_tasks(quick: Order) -> None:
    (first, _) = build_sites(quick, ["cove", "dale"], office=False)
    until = first.until
    assert until is not None
    assert until >= ON
    assert built_again(replace(quick, on=until), keep_days=366) == []
    after = date.fromordinal(until.toordinal() + 1)
    assert built_again(replace(quick, on=after), keep_days=366) == ["cove", "dale"]
    late = date.fromordinal(after.toordinal() + 3)
    assert built_again(replace(quick, on=late), keep_days=2) == ["cove", "dale"]


def test_a_rule_set_of_the_firm_is_an_input_of_every_site(quick: Order) -> None:
    before = common_to_all(quick)
    (quick.homes / "rule-sets").mkdir()
    (quick.homes / "rule-sets/own.toml").write_text("title = 'x'", encoding="utf-8")
    assert common_to_all(quick) != before


def test_a_site_that_somebody_removed_is_built_again(quick: Order) -> None:
    built_again(quick)
    rmtree(quick.site("cove"))
    assert built_again(quick) == ["cove"]


def test_a_cache_that_is_gone_damaged_or_tampered_with_costs_time_only(quick: Order) -> None:
    cache = quick.to / ".cache/built.sqlite"
    built_again(quick)
    rmtree(cache.parent)
    assert built_again(quick) == ["cove", "dale"]
    cache.write_bytes(b"SQLite format 3\0" + b"rubbish" * 999)
    assert built_again(quick) == ["cove", "dale"]
    with sqlite3.connect(cache) as opened:
        opened.execute("UPDATE built SET fact = replace(fact, '\"pages\": 1', '\"pages\": 9') WHERE name LIKE '%cove'")
    opened.close()
    assert built_again(quick) == ["cove"]
    assert built_again(quick) == []


def _full(*_: object, **__: object) -> int:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), "somewhere")


def test_a_full_disk_keeps_the_earlier_site_and_the_other_homes_are_built(
    quick: Order, monkeypatch: pytest.MonkeyPatch
) -> None:
    built_again(quick)
    before = files(quick.site("cove"))

    def fills(tree: dict[str, str], folder: Path) -> None:
        if "cove" in folder.name:
            (folder / "half").write_text("half", encoding="utf-8")
            _full()
        (folder / "docs").mkdir()
        (folder / "docs/index.md").write_text(tree["docs/index.md"], encoding="utf-8")

    monkeypatch.setattr("asfitted.fleet.site_maker.write_tree", fills)
    cove, dale = build_sites(replace(quick, on=date(2026, 12, 1)), ["cove", "dale"], office=False)
    assert cove.trouble == "No space left on device (somewhere)"
    assert not dale.trouble
    assert files(quick.site("cove")) == before
    assert b"2026-12-01" in files(quick.site("dale"))["index.html"]
    assert [left.name for left in (quick.to / "homes").iterdir() if left.name.startswith(".")] == []


def test_a_fault_over_one_home_costs_no_other_its_site(quick: Order, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(dossier: object, firm: Firm) -> dict[str, str]:
        return {"docs/index.md": str(1 / (dossier.id != "cove"))}  # type: ignore[attr-defined]

    monkeypatch.setattr("asfitted.fleet.site_maker.household_tree", fails)
    cove, dale = build_sites(quick, ["cove", "dale"], office=False)
    assert cove.trouble == "a fault in asfitted, please report it: ZeroDivisionError: division by zero"
    assert not dale.trouble
    assert built_again(quick) == ["cove"]


def test_a_bad_home_and_a_photo_that_cannot_be_read_are_told_at_every_build(run: Run, quick: Order) -> None:
    photo = GOOD.replace("power: battery}", "power: battery, photos: [{file: photos/a.jpg, caption: alarm}]}")
    put(quick.homes, {"cove": BROKEN, "dale": photo})
    for _ in range(2):
        done = run("build", "--on", "2026-11-25", "--no-office")
        assert done.exit_code == 2
        assert "site/homes/cove: not built: its record cannot be used" in done.stdout
        assert "1 of 2 not built" in done.stdout
        assert "found no such file; expected a photo in dale/photos" in done.stderr
    put(quick.homes, {"dale": GOOD})
    (quick.homes / "cove/record.yml").write_text(GOOD, encoding="utf-8")
    assert run("build", "--on", "2026-11-25", "--no-office").exit_code == 0
    assert run("build", "--on", "2026-11-25", "--no-office").stdout == "2 unchanged\n"


def test_a_folder_of_sites_that_cannot_be_written_is_one_clear_error(run: Run, quick: Order) -> None:
    quick.to.parent.joinpath("taken").write_text("a file", encoding="utf-8")
    done = run("build", "--on", "2026-11-25", "--to", "taken/site")
    assert done.exit_code == 1
    assert "Not a directory" in done.stderr
    assert "Traceback" not in done.stderr


HOLD = "import sys, time; from pathlib import Path; from asfitted.fleet.lock import only_build\n"
HOLD += "with only_build(Path(sys.argv[1])): print('held', flush=True); time.sleep(60)"


def test_two_builds_do_not_work_in_one_folder_and_a_killed_one_holds_nothing(run: Run, quick: Order) -> None:
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, quick.to / ".cache/lock"], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == "held\n"
        with pytest.raises(Busy, match=str(other.pid)):
            built_again(quick)
        done = run("build", "--on", "2026-11-25")
        assert done.exit_code == 1
        assert f"another build, process {other.pid}, works in site; wait for it to end." in done.stderr
        other.kill()
    assert built_again(quick) == ["cove", "dale"]


def test_what_killed_builds_left_is_cleared_away_and_a_site_about_to_be_swapped_comes_back(quick: Order) -> None:
    built_again(quick)
    homes, before = quick.to / "homes", files(quick.site("cove"))
    (homes / ".cove-abcd_123").mkdir()
    quick.site("cove").rename(homes / ".cove-abcd_123/before")
    (homes / ".dale-01234567/half").mkdir(parents=True)
    (quick.to / "trees/homes/.dale-01234567").mkdir()
    built_again(quick)
    assert sorted(left.name for left in homes.iterdir()) == ["cove", "dale"]
    assert sorted(left.name for left in (quick.to / "trees/homes").iterdir()) == ["cove", "dale"]
    assert files(quick.site("cove")) == before


@dataclass(frozen=True)
class Deadly(Work):
    """Work that ends the process which takes it up; with a file named, only as long as that is not there."""

    once: str = ""

    def __reduce__(self) -> tuple[object, ...]:
        return _die, (self.name, self.once)


def _die(name: str, once: str) -> Work:
    if once and Path(once).exists():
        return Work(name)
    if once:
        Path(once).touch()
    os._exit(9)


def test_a_process_that_dies_costs_nobody_a_site_and_is_tried_once_more(serial: Order, tmp_path: Path) -> None:
    order = replace(serial, to=tmp_path / "site")
    works = [Work("cove"), Deadly("ahus", once=str(tmp_path / "died")), Deadly("berg")]
    built = {site.name: site for site in made(order, works, 2)}
    assert {name: bool(site.trouble) for name, site in built.items()} == {"cove": False, "ahus": False, "berg": True}
    assert built["berg"].trouble == "the process that built it was ended from outside, twice"
    assert not order.site("berg").exists()
    assert files(order.site("ahus")) == files(serial.site("ahus"))


def test_a_build_killed_at_any_moment_leaves_every_site_whole(serial: Order, tmp_path: Path) -> None:
    copytree(serial.to, tmp_path / "site")
    log = crash(serial.homes, tmp_path / "site", kills=8 if THOROUGH else 1, seed=4, usual=4.0)
    assert all(line.whole for line in log), log
    assert {line.finished for line in log} == {len(HOMES)}
    assert log[-1].left_over == 0


def test_the_maker_of_homes_gives_the_same_homes_for_the_same_seed_and_sound_ones(tmp_path: Path) -> None:
    write(tmp_path / "few", 3, 11)
    write(tmp_path / "more", 6, 11)
    more = files(tmp_path / "more")
    assert files(tmp_path / "few").items() < more.items()
    assert len(set(more.values())) == 6
    assert record(12, 0) != record(11, 0)
