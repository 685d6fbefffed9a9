"""From a commit as the git library gives it to what is known of it. Text in it is in whatever encoding it names."""

from datetime import date, datetime, timedelta, timezone
from typing import Any

from asfitted.history.revision import Commit

_LAST_SECOND = 221_845_392_000
"""The year 9000: what is planned from a commit's day has to be in the calendar as well."""
_SIGNATURES = {
    b"-----BEGIN PGP": "OpenPGP",
    b"-----BEGIN SSH": "SSH",
    b"-----BEGIN SIGNED": "X.509",
    b"-----BEGIN PKCS7": "X.509",
}


def as_commit(
    commit: Any, folder: str = "", blob: str | None = None, before: tuple[str, str] | None = None, *, cut: bool = False
) -> Commit:
    """Give what is known of a commit; see :class:`Commit` for the rest."""
    return Commit(
        id=str(commit.id),
        at=_moment(commit.commit_time, commit.commit_time_offset),
        authored=_moment(commit.author.time, commit.author.offset),
        author=_name_in(commit, "author"),
        committer=_name_in(commit, "committer"),
        subject=_read(commit.raw_message, commit.message_encoding).partition("\n")[0],
        merge=len(commit.parent_ids) > 1,
        signed=_signed(commit),
        folder=folder,
        blob=blob,
        before=before,
        cut=cut,
    )


def day_of(commit: Any) -> date:
    """Give the day a commit was made, where the committer was."""
    return _moment(commit.commit_time, commit.commit_time_offset).date()


def _name_in(commit: Any, role: str) -> str:
    return _read(getattr(commit, role).raw_name, commit.message_encoding)


def _read(raw: bytes, encoding: str | None) -> str:
    """Read a text of a commit by the encoding that it names, which need not be a real one."""
    try:
        return raw.decode(encoding or "utf-8", "replace")
    except LookupError:
        return raw.decode("utf-8", "replace")


def _moment(seconds: int, offset: int) -> datetime:
    """Give the moment of a commit; one that no calendar holds counts as the last that is left room to plan from."""
    return datetime.fromtimestamp(min(max(seconds, 0), _LAST_SECOND), timezone(timedelta(minutes=offset)))


def _signed(commit: Any) -> str:
    signature = commit.gpg_signature[0]
    if not signature:
        return ""
    return next((kind for start, kind in _SIGNATURES.items() if signature.startswith(start)), "of an unknown kind")
