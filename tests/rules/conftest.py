"""The small house of the examples as a case, with devices, fittings and facts to be varied by a test."""

from collections.abc import Callable
from datetime import date

import pytest

from asfitted.rules.case import Case
from asfitted.rules.examples import ON, case_of, home_text
from asfitted.rules.examples import judged as judged_by
from asfitted.rules.finding import Finding

__all__ = ["ON"]

Make = Callable[..., Case]
"""Lays out the small house; each part is YAML flow text, as in asfitted.rules.examples."""
Ask = Callable[..., Finding]
"""Judges the small house and gives the finding of one rule about one subject."""


@pytest.fixture(scope="session")
def make() -> Make:
    """Give a function that lays out the small house; each part is YAML flow text."""

    def _make(devices: str = "", *, on: date = ON, **parts: object) -> Case:
        return case_of(home_text(devices=devices, **parts), on)

    return _make


@pytest.fixture(scope="session")
def ask(make: Make) -> Ask:
    """Give a function that judges the small house and returns the finding of one rule about one subject."""

    def _ask(rule: str, subject: str, devices: str = "", **parts: object) -> Finding:
        found = [finding for finding in judged_by(make(devices, **parts), rule) if finding.subject.id == subject]
        assert len(found) == 1, f"{rule} gave {len(found)} findings about {subject}"
        return found[0]

    return _ask
