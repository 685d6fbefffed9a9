"""The page of the visits ahead over all homes."""

import re
from dataclasses import replace
from datetime import date

from asfitted.pages.render import render
from asfitted.pages.views.office_board import AheadView, visits_ahead
from tests.pages.homes import dossier, hostile_home
from tests.pages.office_site import ON, demo


def page(view: AheadView) -> str:
    return render("office/visits-ahead.md", view=view, on=ON)


def test_the_board_shows_every_planned_visit_of_every_home_once_and_what_to_buy() -> None:
    view = visits_ahead(demo(), ON)
    text = page(view)
    assert view.unproven == ()
    assert [month.month.first for month in view.months] == sorted(month.month.first for month in view.months)
    for month in view.months:
        assert f"## {month.month.first:%B %Y} {{: #{month.anchor} }}" in text
        for line in month.lines:
            assert f'href="homes/{line.folder}/index.html"' in text
    shown = re.findall(r'may be moved<|<th scope="row">\d{4} Q[1-4]', text)
    assert len(shown) == sum(len(month.lines) for month in view.months) + len(view.purchases)
    fitted = {each.id for each in demo()} - {"saltpan-lane"}  # on that day nothing of it is fitted yet
    assert {line.entry.id for month in view.months for line in month.lines} == fitted


def test_a_board_without_homes_says_so() -> None:
    text = page(visits_ahead([], ON))
    assert "No visit is planned." in text
    assert "Nothing is wanted by then." in text


def test_text_of_a_record_stays_text_on_the_board() -> None:
    hostile = dossier(hostile_home(), on=ON)
    text = page(visits_ahead([replace(hostile, id="millside")], date(2026, 11, 25)))
    assert "<script" not in text
    assert hostile.home.home.label not in text
