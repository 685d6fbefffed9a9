"""Zensical, by the makers of the theme: it reads the same tree as MkDocs, and renders it by a program of its own.

It is run as a program, because it keeps its settings in globals and writes its results into the folder it reads from.
"""

import re
import shutil
import subprocess
import sys
import tempfile
from datetime import date
from importlib.util import find_spec
from pathlib import Path

from asfitted.pages.engines import EngineFailed

UNUSED = ("404.html", "sitemap.xml", "assets/images/favicon.png", "assets/stylesheets/modern")
"""What it puts into every site and no page of ours loads: two pages that our overrides empty, and its own looks."""

_COLOUR = re.compile(r"\x1b\[[0-9;]*m")


def render(tree: Path, site: Path, day: date) -> int:  # noqa: ARG001 - it writes no date of its own
    """Render a written tree; see :func:`asfitted.pages.engine.render_site`."""
    if find_spec("zensical") is None:
        raise EngineFailed(
            "the engine zensical is not installed; install it with: pip install 'asfitted[second-engine]'"
        )
    with tempfile.TemporaryDirectory(prefix=".engine-", dir=site.parent.resolve()) as folder:
        copy = Path(folder) / "tree"  # it keeps a cache beside the tree, and takes a site inside the tree only
        shutil.copytree(tree, copy)
        done = subprocess.run(  # noqa: S603 - our own interpreter and a path of ours
            [sys.executable, "-m", "zensical", "build", "--strict", "--config-file", str(copy / "mkdocs.yml")],
            capture_output=True,
            text=True,
            check=False,
            cwd=copy,
        )
        made = copy / "site"
        if done.returncode != 0 or not made.is_dir():
            raise EngineFailed(_said(done.stdout + done.stderr))
        for name in UNUSED:
            _remove(made / name)
        shutil.copytree(made, site, dirs_exist_ok=True)
    return sum(1 for _ in site.rglob("*.html"))


def _said(out: str) -> str:
    """Give what it said without its colours, and of a traceback the last line only."""
    said, _, trace = _COLOUR.sub("", out).partition("Traceback (most recent call last):")
    lines = [*said.splitlines(), *trace.splitlines()[-1:]]
    return "\n".join(line.rstrip() for line in lines if line != "Build started")


def _remove(path: Path) -> None:
    if path.is_dir():
        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)
