"""What is known of a revision: the commit, its days, who made it, whether it is signed."""

from dataclasses import dataclass
from datetime import date, datetime

from asfitted.language import say

SHOWN = 10
"""Characters of a commit's id that are shown."""


@dataclass(frozen=True, slots=True)
class Revision:
    """The last commit that touched a record: short id and day; both None when there is none.

    ``changed`` is true when the record on disk is not the one that was committed; ``unknown``, when the history cannot
    be read.
    """

    commit: str | None = None
    day: date | None = None
    changed: bool = False
    unknown: bool = False
    at: datetime | None = None

    @property
    def words(self) -> str:
        """The revision in words for a title block."""
        if self.unknown:
            return say("not known")
        if self.commit is None:
            return say("not committed")
        known = {"commit": self.commit, "day": self.day}
        return say("{commit} of {day}, changed since", **known) if self.changed else say("{commit} of {day}", **known)


@dataclass(frozen=True, slots=True)
class Commit:
    """One revision of a home, or of the whole repository. Text in it is hostile until escaped.

    Attributes:
        id: the full id of the commit.
        at: when it was committed, by the committer's own clock.
        authored: when its author wrote it, by the author's own clock.
        author: the author's name.
        committer: the committer's name.
        subject: the first line of the message.
        merge: whether it joins two lines of history.
        signed: how it is signed: ``OpenPGP``, ``SSH``, ``X.509``, ``of an unknown kind``; empty when it is not.
        folder: the home's folder in the repository at that time; empty for a commit that is about no one home.
        blob: the id of the record's content; None when the record is not in it.
        before: the revision that it was made from, by its id and the folder of the home then; None without one.
        cut: whether what it was made from is not in this clone, so that it need not be the first.
    """

    id: str
    at: datetime
    authored: datetime
    author: str
    committer: str
    subject: str
    merge: bool = False
    signed: str = ""
    folder: str = ""
    blob: str | None = None
    before: tuple[str, str] | None = None
    cut: bool = False

    @property
    def short(self) -> str:
        """The id as it is shown."""
        return self.id[:SHOWN]

    @property
    def day(self) -> date:
        """The day it was committed, where the committer was."""
        return self.at.date()

    @property
    def words(self) -> str:
        """The revision in words."""
        return f"{self.short} of {self.day}"

    @property
    def by(self) -> str:
        """Who answers for it: the author, and the committer where that is another."""
        return self.author + (f", committed by {self.committer}" if self.committer != self.author else "")

    @property
    def signature(self) -> str:
        """What is known of its signature. That a signature is there is no proof of who made it."""
        if not self.signed:
            return "not signed"
        return f"signed ({self.signed}); the signature was not verified, which needs the signers' keys"


@dataclass(frozen=True, slots=True)
class Unavailable:
    """A revision, or a record at a revision, that cannot be had; ``says`` why, as a sentence without its stop."""

    says: str


@dataclass(frozen=True, slots=True)
class ChangedHome:
    """A home whose record differs between two revisions: its name at each, None where it is not there."""

    old: str | None
    new: str | None

    @property
    def name(self) -> str:
        """The name to call it by: the later one, if there is one."""
        return self.new or self.old or ""


class HistoryDamaged(Exception):  # noqa: N818 - what happened, as the program says it
    """A part of the history is missing or damaged, so that nothing right can be said of it; a sentence."""

    def __init__(self, part: str) -> None:
        super().__init__(
            f"The history cannot be read: {part} is missing from the repository, or damaged. If it is a partial clone, "
            "git fetch --refetch --no-filter brings what was left out; if not, git fsck tells what is damaged."
        )
