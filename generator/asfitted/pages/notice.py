"""The affected-device notice: which homes hold what, where exactly, and who does what, with boxes to tick."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from itertools import groupby

from markupsafe import Markup

from asfitted.model.words import DEVICE_KINDS
from asfitted.pages.dossier import Firm
from asfitted.pages.render import render
from asfitted.pages.views.affected import ASKED, Affected
from asfitted.pages.wording import listed


@dataclass(frozen=True, slots=True)
class NoticeHome:
    """A home on the notice, with what is, or may be, affected in it."""

    id: str
    label: str
    reference: str
    items: tuple[Affected, ...]


def notice_page(
    title: str,
    found: Sequence[Affected],
    *,
    looked_for: Mapping[str, Sequence[str]],
    not_searched: Sequence[str],
    untold: Mapping[tuple[str, ...], int],
    homes: int,
    to_do: Sequence[str],
    firm: Firm,
    on: date,
) -> str:
    """Write the notice as one page that carries all it needs, for the screen and for paper.

    Args:
        title: what the notice is called.
        found: what is affected or may be, home by home.
        looked_for: the conditions of the search in words.
        not_searched: ids of homes whose record cannot be used.
        untold: how many more devices the record tells too little of, by what it lacks.
        homes: how many were searched.
        to_do: what the technician is to do, beside what always is.
        firm: whose notice it is.
        on: the day of the search.
    """
    by_home = tuple(
        NoticeHome(id_, items[0].label, items[0].reference, tuple(items))
        for id_, items in ((id_, list(items)) for id_, items in groupby(found, key=lambda item: item.home))
    )
    return render(
        "notice.html",
        style=Markup((files("asfitted.pages") / "assets" / "notice.css").read_text(encoding="utf-8")),  # noqa: S704 - ours
        title=title,
        homes=by_home,
        searched=homes,
        of_devices=all(item.kind in DEVICE_KINDS for item in found),
        certain=sum(item.certain for item in found),
        possible=sum(not item.certain for item in found),
        asked=[f"{ASKED[name]}: {' or '.join(values)}" for name, values in looked_for.items()],
        not_searched=not_searched,
        untold=[(listed(ASKED[name] for name in names), count) for names, count in untold.items()],
        to_do=to_do,
        firm=firm,
        on=on,
    )
