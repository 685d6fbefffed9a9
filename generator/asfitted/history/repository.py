"""The only module that talks to git. It reads, and it never fails: no git, no repository, no commit all mean "none"."""

import os
import subprocess
from datetime import date
from pathlib import Path

from asfitted.history.revision import Revision


def revision_of(file: Path) -> Revision:
    """Give the revision of a file on disk."""
    said = _git(file.parent, "log", "-1", "--format=%h %cs", "--abbrev=10", "--", file.name)
    if not said:
        return Revision()
    commit, _, day = said.strip().partition(" ")
    changed = bool(_git(file.parent, "status", "--porcelain", "--", file.name))
    return Revision(commit, date.fromisoformat(day), changed)


def _git(folder: Path, *arguments: str) -> str:
    """Run git in a folder and give what it prints, or nothing when it fails.

    Git started from a hook inherits variables that point it at another repository; they are left out.
    """
    clean = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    try:
        done = subprocess.run(
            ["git", "--no-optional-locks", *arguments],
            cwd=folder,
            env=clean,
            capture_output=True,
            timeout=60,
            check=True,
        )
    except (OSError, subprocess.SubprocessError):
        return ""
    return done.stdout.decode("utf-8", "replace")
