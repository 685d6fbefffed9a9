"""What tests of revisions share."""

from pathlib import Path

import pytest

from tests.history.repos import Repo


@pytest.fixture
def repo(tmp_path: Path) -> Repo:
    """Give an empty repository."""
    return Repo(tmp_path / "firm")
