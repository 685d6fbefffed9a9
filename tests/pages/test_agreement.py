"""What the household reads of a device is what the office reads, in other words."""

from datetime import date
from pathlib import Path

import pytest

from asfitted.fleet.load import load_home, load_homes
from asfitted.pages.views.devices import device_cards
from asfitted.rules.finding import Verdict
from tests.conftest import GOOD

ROOT = Path(__file__).parents[2]
ON = date(2026, 11, 25)
UNIT = """  CU1: {kind: control unit, name: unit, in: cabin, wall: east, from-south: 1.0, height: 1.4, second-path: mobile}
visits:
"""

LOST = "  - {date: 2026-06-01, kind: service, by: t, tests: {CU1: {mains-off: lost, path-mobile: received}}}\n"
LATER = "  - {date: 2026-08-01, kind: call-out, by: t, tests: {CU1: {path-mobile: received}}}\n"


def states(tmp_path: Path, visits: str) -> dict[str, str]:
    text = GOOD.replace("visits:\n", UNIT) + visits
    (tmp_path / "home").mkdir()
    (tmp_path / "home" / "record.yml").write_text(text, encoding="utf-8")
    loaded = load_home(tmp_path / "home", ON)
    assert loaded.dossier is not None, [trouble.sentence for trouble in loaded.troubles]
    return {card.tag: card.state for card in device_cards(loaded.dossier)}


@pytest.mark.parametrize(
    ("visits", "state"),
    [
        ("", "untested"),
        ("  - {date: 2026-06-01, kind: service, by: t, tests: {CU1: {mains-off: held}}}\n", "partly"),
        (
            "  - {date: 2026-06-01, kind: service, by: t, tests: {CU1: {mains-off: held, path-mobile: received}}}\n",
            "works",
        ),
        (LOST + LATER, "fails"),
    ],
)
def test_a_later_partial_test_hides_no_failure_from_the_household(tmp_path: Path, visits: str, state: str) -> None:
    assert states(tmp_path, visits)["CU1"] == state


def test_over_the_demo_homes_no_device_works_in_one_edition_and_not_in_the_other() -> None:
    seen = set()
    for home in load_homes(ROOT / "homes", ON):
        assert home.dossier is not None
        judged = {f.subject.id: f.verdict for f in home.dossier.findings if f.rule.id == "device-tested"}
        for card in device_cards(home.dossier):
            if card.tag in judged:
                seen.add(judged[card.tag])
                assert (card.state == "works") == (judged[card.tag] is Verdict.CONFORMS), (home.id, card.tag)
    assert seen == {Verdict.CONFORMS, Verdict.NOT_VERIFIED}
