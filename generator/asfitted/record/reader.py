"""Read one record: bytes to a home, or to everything that is wrong with it."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path as FilePath
from typing import Any

from pydantic import ValidationError

from asfitted.model.base import Path, Problem, shown
from asfitted.model.home import Home
from asfitted.record.explain import explain
from asfitted.record.located import Located, Mark, Marks
from asfitted.record.private import Private, private_text
from asfitted.record.tree import LARGEST, Unreadable, read_tree

RECORD_NAME = "record.yml"


@dataclass(frozen=True)
class Reading:
    """A record as read: the home, or None and the troubles; and where everything stands in the file."""

    file: FilePath
    home: Home | None
    troubles: tuple[Located, ...]
    marks: Marks
    digest: str = ""

    def locate(self, problem: Problem, *, key: bool = False) -> Located:
        """Give a problem its line and column in this file."""
        return Located(self.file, self.marks.of(problem.path, key=key), problem)


def read(file: FilePath) -> Reading:
    """Read a record from disk. Never raises for what stands in the file."""
    try:
        size = file.stat().st_size
        if size > 4 * LARGEST:
            return _refused(file, _too_large(f"{size:,} bytes"))
        return read_text(file.read_bytes(), file)
    except FileNotFoundError:
        remedy = f"Start one with: asfitted new {file.parent.name}"
        return _refused(file, Problem((), "no file", "a record", remedy))
    except OSError as error:
        return _refused(file, Problem((), error.strerror or "an unreadable file", "a file that may be read"))


def read_text(raw: bytes, file: FilePath) -> Reading:
    """Read a record from its bytes; ``file`` is named in the troubles."""
    digest = sha256(raw).hexdigest()
    if len(raw) > 4 * LARGEST:
        return _refused(file, _too_large(f"{len(raw):,} bytes"), digest=digest)
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # the codec counts from behind a byte order mark, if there is one
        lines = f"{error.object[: error.start].decode()}x".splitlines()
        byte = f"the byte 0x{error.object[error.start]:02X}, which is not UTF-8"
        problem = Problem((), byte, "text saved as UTF-8")
        return _refused(file, problem, (len(lines), len(lines[-1])), digest)
    if len(text) > LARGEST:
        return _refused(file, _too_large(f"{len(text):,} characters"), digest=digest)
    private = list(private_text(text))
    marks, home = Marks({}, {}), None
    try:
        data, marks = read_tree(text)
    except Unreadable as error:
        found = [(error.mark, error.problem)]
    else:
        seen = {secret.secret for secret in private}
        private += [secret for secret in _folded(data, (), text, marks) if secret.secret not in seen]
        home, problems = _validate(data)
        found = [(marks.of(problem.path, key=about_key), problem) for problem, about_key in problems]
    told = {secret.mark[0]: (secret.mark, secret.problem) for secret in reversed(private)}
    found = [*told.values(), *_without_secrets(found, private)]
    troubles = sorted((Located(file, mark, problem) for mark, problem in found), key=lambda t: t.mark)
    return Reading(file, None if troubles else home, tuple(troubles), marks, digest)


def _folded(data: Any, path: Path, text: str, marks: Marks) -> Iterator[Private]:
    """Find what is private in values that stand otherwise in the file: over several lines, or behind escapes."""
    if isinstance(data, dict | list):
        for key, value in data.items() if isinstance(data, dict) else enumerate(data):
            yield from _folded(value, (*path, key), text, marks)
    elif isinstance(data, str) and len(data) > 5 and data not in text:
        for secret in private_text(" ".join(data.split())):
            yield Private(marks.of(path), secret.what, secret.secret)


def _without_secrets(found: list[tuple[Mark, Problem]], private: list[Private]) -> Iterator[tuple[Mark, Problem]]:
    """Leave out what would repeat a secret; it comes back, if it is still wrong, when the secret is gone."""
    told = {secret.mark for secret in private}
    for mark, problem in found:
        said = " ".join((problem.found, problem.expected, problem.remedy, *map(str, problem.path)))
        if mark not in told and not any(_repeats(said, secret.secret) for secret in private):
            yield mark, problem


def _repeats(said: str, secret: str) -> bool:
    """Tell whether a sentence repeats a secret, or the beginning of one where it was shortened."""
    whole = re.search(rf"(?<!\w){re.escape(secret)}(?!\w)", said)
    return bool(whole) or any(f"{secret[:length]}…" in said for length in range(3, len(secret)))


def _validate(data: Any) -> tuple[Home | None, list[tuple[Problem, bool]]]:
    if not isinstance(data, dict):
        return None, [(Problem((), shown(data), "a record, starting with “record: 1”"), False)]
    try:
        return Home.model_validate(data, by_alias=True, by_name=False), []
    except ValidationError as error:
        return None, explain(error, data, Home)


def _too_large(size: str) -> Problem:
    expected = f"a record of at most {LARGEST:,} characters"
    return Problem((), size, expected, "Keep photos and logs beside it, not in it.")


def _refused(file: FilePath, problem: Problem, mark: Mark = (1, 1), digest: str = "") -> Reading:
    return Reading(file, None, (Located(file, mark, problem),), Marks({}, {}), digest)
