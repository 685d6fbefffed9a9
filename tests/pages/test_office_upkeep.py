"""What the fleet shows, in the office edition."""

import re
from dataclasses import replace
from html import unescape

import pytest

from asfitted.pages.dossier import Dossier
from asfitted.pages.office import office_tree
from asfitted.pages.render import render
from asfitted.pages.views.office_learned import LearnedView, learned_view
from tests.pages.homes import RECORD, dossier, home, hostile_home
from tests.pages.office_site import ON, config

LOW = "  - {{date: 20{year}-06-01, kind: call-out, by: technician 1, cause: false alarm, tests: {{SA1: {{battery: low, battery-changed: yes}}}}}}\n"


def page(view: LearnedView) -> str:
    return render("office/learned.md", view=view, on=ON)


def years_of_trouble(number: int) -> list[Dossier]:
    """Give homes whose first alarm gives a false alarm, and reads low, every year."""
    sealed, plain = (
        'battery: "sealed, 10 years", linked: [SA2]',
        "fitted: 2020-01-01, battery: {type: 1 x 9V, life: 2 years}",
    )
    record = RECORD.replace(sealed, plain)
    assert record != RECORD
    record = record.rstrip() + "\n" + "".join(LOW.format(year=year) for year in range(21, 26))
    return [replace(dossier(home(record), on=ON), id=f"home-{n}") for n in range(number)]


def test_few_homes_give_their_counts_and_no_figure() -> None:
    view = learned_view([dossier(home(), on=ON)], ON)
    text = page(view)
    assert view.nothing
    assert "There is too little to say anything yet" in text
    assert "replace no maker’s life, no rule and no local code" in text
    assert "from 5 events and 20 years" in text
    assert not re.search(r"\d \(\d", text)
    assert "too little to say" in page(learned_view([], ON))


def test_many_homes_give_figures_with_their_limits() -> None:
    view = learned_view(years_of_trouble(5), ON)
    text = unescape(page(view))
    assert not view.nothing
    (row,) = [row for row in view.tables[0].rows if row.name == "smoke alarm"]
    assert row.events == 25
    assert re.fullmatch(r"0\.\d{3} \(0\.\d{3} to \d\.\d{3}\)", row.says)
    assert f"<td>{row.says}</td>" in text
    assert "False alarms by place" in text
    (life,) = [row for row in view.lives if row.name == "smoke alarm, 1 x 9V"]
    assert (life.batteries, life.ended) == (30, 25)
    assert life.half == "0.50 (0.50 to 0.50)"
    assert life.lasting == "0% (0% to 37%)"  # none lasts two years; the limit is that of the step before


def test_text_of_a_record_stays_text() -> None:
    view = learned_view([dossier(hostile_home(), on=ON)], ON)
    assert "<script" not in page(view)


@pytest.mark.usefixtures("some_rule_pages")
def test_a_firm_without_visits_ahead_has_no_calendar_of_them() -> None:
    tree = office_tree([], [], config(), ON)
    assert "calendar.ics" not in tree
    assert "calendar.ics" not in str(tree["due.md"]) + str(tree["visits-ahead.md"])
