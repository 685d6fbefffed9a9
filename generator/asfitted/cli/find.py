"""``asfitted find``."""

import re
import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from asfitted.cli.options import (
    EXIT_FALLS_SHORT,
    EXIT_UNUSABLE,
    DayType,
    chosen,
    home_argument,
    homes_option,
    on_option,
)
from asfitted.model.words import DEVICE_KINDS, RoomUse
from asfitted.rules.finding import Verdict

if TYPE_CHECKING:
    from asfitted.fleet.find import Search, Wanted
    from asfitted.rules.catalogue import Catalogue

_MOBILE = ("2G", "3G", "4G", "5G")


class _NoNotice(click.ClickException):
    """The notice cannot be made; 1 would say that nothing was found."""

    exit_code = EXIT_UNUSABLE


class _Words(click.ParamType[str]):
    """Some text to find within another."""

    name = "text"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        if not str(value).strip():
            self.fail("give some text to find", param, ctx)
        return str(value)


class _MarkingType(click.ParamType[Any]):
    """A marking, the beginning of one, or a range."""

    name = "marking"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        from asfitted.fleet.marking import Marking
        from asfitted.model.base import Unusable

        try:
            return Marking(str(value))
        except Unusable as error:
            self.fail(f"{error}", param, ctx)


class _Months(click.ParamType[Any]):
    """A month, or a range of months."""

    name = "months"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if isinstance(value, tuple):
            return value
        first, dots, last = str(value).partition("..")
        if not (first or last) or not all(re.fullmatch(r"(\d{4}-\d{2})?", month) for month in (first, last)):
            self.fail(f"{value!r} is no month; write 2024-03, or a range, 2024-01..2024-06", param, ctx)
        day = DayType()
        ends = tuple(day.convert(f"{month}-01", param, ctx) if month else None for month in (first, last))
        low, high = ends if dots else (ends[0], ends[0])
        if low and high and low > high:
            self.fail(f"{value!r}: the earlier month first", param, ctx)
        return low, high


@click.command()
@home_argument
@homes_option
@on_option
@click.option("--kind", type=click.Choice(DEVICE_KINDS), multiple=True, metavar="KIND", help="Kind of device.")
@click.option("--model", type=_Words(), multiple=True, help="Text within the model, whatever its capitals.")
@click.option("--batch", type=_MarkingType(), multiple=True, help="25-51, 25-5* or 25-40..25-60.")
@click.option("--serial", type=_MarkingType(), multiple=True, help="In the same way.")
@click.option("--firmware", type=_MarkingType(), multiple=True, help="In the same way: ..2.1.4 is up to 2.1.4.")
@click.option("--made", type=_Months(), multiple=True, help="2024-03, or 2024-01..2024-06.")
@click.option("--mobile", type=click.Choice(_MOBILE), multiple=True, help="Generation of the mobile network.")
@click.option("--battery", type=_Words(), multiple=True, help="Text within the type of the battery.")
@click.option("--use", type=click.Choice(get_args(RoomUse)), multiple=True, metavar="USE", help="Use of the room.")
@click.option("--verdict", type=click.Choice([v.value for v in Verdict]), multiple=True, metavar="VERDICT",
              help="A verdict; with --rule, of that rule.")  # fmt: skip
@click.option("--rule", type=_Words(), multiple=True, help="Id of a rule.")
@click.option("--rule-set", type=_Words(), multiple=True, help="The rule set that the home names.")
@click.option("--format", "form", type=click.Choice(["text", "json", "csv"]), default="text", show_default=True)
@click.option("--notice", metavar="TITLE", help="Write the affected-device notice: notice.html and notice.csv.")
@click.option("--to", type=click.Path(path_type=Path, file_okay=False), help="The folder for the notice.")
@click.option("--do", "to_do", type=_Words(), multiple=True, help="On the notice, what the technician is to do.")
@click.option(
    "--config",
    type=click.Path(path_type=Path, dir_okay=False),
    default=Path("mkdocs.yml"),
    show_default=True,
    help="Where the firm's name stands, for the notice.",
)
def command(
    home: tuple[str, ...],
    homes: Path,
    on: date,
    form: str,
    notice: str | None,
    to: Path | None,
    to_do: tuple[str, ...],
    config: Path,
    **conditions: tuple[Any, ...],
) -> None:
    """Find every home that holds an affected device, and say where it is.

    All conditions must hold; of one that is given several times, any. A device of which the record lacks what was
    asked for is listed as one that may be affected, as long as something else asked of it is so; others are counted.
    Without a condition on the device, rooms and homes with the verdict are found too. Searched is what the records
    hold today: a device that was taken down stands in the history only.

    \b
    Exit status:
      0  something was found, certain or possible
      1  nothing was found
      2  the record of a home could not be used, so that it was not searched,
         whatever was found elsewhere; or the question could not be used, or
         the notice not be written

    \b
    Examples:
      asfitted find --kind "smoke alarm" --model "type 2" --made 2023-01..2023-06
      asfitted find --mobile 2G --mobile 3G --format csv > control-units.csv
      asfitted find --rule smoke-clear-of-wall --verdict "does not conform"
      asfitted find --batch 25-40..25-60 --notice "Batch 25-40 to 25-60" --to recall
    """
    from asfitted.cli.find_show import as_csv, as_json, as_text
    from asfitted.cli.terminal import show_trouble
    from asfitted.fleet.find import search
    from asfitted.fleet.load import load_catalogue, load_homes

    if (notice is None) != (to is None):
        raise click.UsageError("--notice TITLE and --to FOLDER go together")
    if to_do and notice is None:
        raise click.UsageError("--do says what stands on the notice; give --notice TITLE as well")
    if notice is not None and not notice.strip():
        raise click.UsageError("--notice: give the notice a title")
    own = load_catalogue(homes)
    wanted = _wanted(conditions, own[0])
    loaded = load_homes(homes, on, chosen(homes, home), with_revision=False, own=own)
    for trouble in (*own[1], *(trouble for item in loaded for trouble in item.troubles)):
        show_trouble(trouble)
    found = search(loaded, wanted)
    if form == "json":
        as_json(found, wanted, on)
    elif form == "csv":
        click.echo(as_csv(found).encode(), nl=False)
    else:
        as_text(found)
    if notice is not None and to is not None:
        _write_notice(notice, to, (found, wanted), on, config, to_do)
    if found.not_searched:
        sys.exit(EXIT_UNUSABLE)
    sys.exit(0 if found.found else EXIT_FALLS_SHORT)


def _wanted(conditions: dict[str, tuple[Any, ...]], rules: "Catalogue") -> "Wanted":
    """Put the conditions together; rules and rule sets must be there to be asked for.

    Raises:
        click.UsageError: for no condition, and for a rule or a rule set that is not there.
    """
    from asfitted.fleet.find import Wanted
    from asfitted.model.base import did_you_mean, shown

    if not any(conditions.values()):
        raise click.UsageError("say what to look for, such as --model TEXT or --mobile 2G")
    for option, known in (("rule", rules.rules), ("rule_set", rules.sets)):
        for name in conditions[option]:
            if name not in known:
                near = did_you_mean(name, list(known))
                raise click.UsageError(f"--{option.replace('_', '-')}: there is no {shown(name)}. {near}".rstrip())
    verdicts = tuple(Verdict(name) for name in conditions["verdict"])
    return Wanted(**{**conditions, "verdict": verdicts})


def _write_notice(
    title: str, to: Path, searched: "tuple[Search, Wanted]", on: date, config: Path, to_do: tuple[str, ...]
) -> None:
    """Write the notice as a page and as a table, each swapped in whole.

    Raises:
        _NoNotice: when the configuration cannot be used, or a file cannot be written.
    """
    from asfitted.cli.find_show import as_csv
    from asfitted.cli.terminal import clean, console
    from asfitted.pages.engine import EngineFailed, read_site_config
    from asfitted.pages.notice import notice_page
    from asfitted.pages.tree import file_aside

    found, wanted = searched
    try:
        firm = read_site_config(config).firm
    except EngineFailed as error:
        raise _NoNotice(str(error)) from None
    page = notice_page(
        title,
        found.found,
        looked_for=wanted.words,
        not_searched=found.not_searched,
        untold=found.untold,
        homes=found.homes,
        to_do=to_do,
        firm=firm,
        on=on,
    )
    try:
        for name, content in (("notice.html", page), ("notice.csv", as_csv(found))):
            with file_aside(to / name) as file:
                file.write_bytes(content.encode())
            console(errors=True).print(clean(f"{(to / name).as_posix()}: written"))
    except OSError as error:
        raise _NoNotice(f"not written: {error.strerror or error} ({error.filename})") from None
