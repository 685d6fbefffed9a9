"""What tests of building share."""

from collections.abc import Iterator
from itertools import islice
from typing import Any

import pytest

from asfitted.pages import office
from asfitted.pages.views.office_rules import rule_pages


@pytest.fixture(autouse=True)
def few_rule_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """Write the pages of three rules only: all of them have tests of their own, and these tests build many sites."""

    def few(*given: Any) -> Iterator[Any]:
        return islice(rule_pages(*given), 3)

    monkeypatch.setattr(office, "rule_pages", few)
