"""What commands print. Text from a record is shown as it is: no markup, no control characters."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from asfitted.rules.finding import Finding, Verdict

if TYPE_CHECKING:
    from rich.console import Console

    from asfitted.record.located import Located, Mark

STYLES = {
    Verdict.FAILS: "bold red",
    Verdict.NOT_VERIFIED: "bold magenta",
    Verdict.BORDERLINE: "bold yellow",
    Verdict.VARIATION: "bold cyan",
    Verdict.CONFORMS: "green",
    Verdict.NOT_APPLICABLE: "dim",
}


def console(*, errors: bool = False) -> "Console":
    """Give the console for results, or for errors."""
    from rich.console import Console

    out = Console(stderr=errors, highlight=False, markup=False, emoji=False, soft_wrap=True)
    if not out.is_terminal:
        out.width = 400  # another program reads whole lines
    return out


def clean(text: str) -> str:
    """Replace what could steer a terminal: control characters other than a line break."""
    return "".join(c if c == "\n" or c.isprintable() else f"\\x{ord(c):02x}" for c in text)


def writable(text: str) -> str:
    """Write what UTF-8 cannot hold as an escape: the name of a file need not be text."""
    return text.encode("utf-8", "backslashreplace").decode()


def show_trouble(trouble: "Located") -> None:
    """Print a trouble of a record on the error stream."""
    from rich.text import Text

    line = Text.assemble((clean(trouble.place), "bold"), "  ", ("cannot be used", "bold red"))
    console(errors=True).print(line)
    _say(console(errors=True), trouble.sentence)


def show_finding(finding: Finding, file: str, mark: "Mark") -> None:
    """Print a finding: where and what, then what was found against what is asked, then what to do."""
    from rich.text import Text

    where = f"{file}:{mark[0]}:{mark[1]}"
    out = console()
    out.print(
        Text.assemble(
            (clean(where), "bold"),
            "  ",
            (finding.verdict.value, STYLES[finding.verdict]),
            "  ",
            finding.rule.title,
        )
    )
    _say(out, finding.says)
    if finding.remedy:
        _say(out, finding.remedy)


def heading(words: str) -> None:
    """Print a line in bold."""
    from rich.text import Text

    console().print(Text(clean(words), "bold"), soft_wrap=not console().is_terminal)


def say(sentence: str) -> None:
    """Print a sentence set in by two among the results."""
    _say(console(), sentence)


def _say(out: "Console", sentence: str) -> None:
    """Print a sentence set in by two; folded on a terminal, whole where another program reads it."""
    from rich.padding import Padding
    from rich.text import Text

    if out.is_terminal:
        out.print(Padding(Text(clean(sentence)), (0, 0, 0, 2)), soft_wrap=False)
    else:
        out.print(Text("  " + clean(sentence)))


def table_of(rows: Sequence[Sequence[str]], heads: Sequence[str], *, right: Sequence[int] = ()) -> None:
    """Print a table; columns named in ``right`` by number are set to the right."""
    from rich import box
    from rich.table import Table
    from rich.text import Text

    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, padding=(0, 0, 0, 1))
    for number, head in enumerate(heads):
        table.add_column(head, justify="right" if number in right else "left", overflow="fold", no_wrap=number < 2)
    for row in rows:
        table.add_row(*(Text(clean(cell)) for cell in row))
    # A table wraps in its cells; a sentence wraps where the terminal does.
    console().print(table, soft_wrap=False)


def styled(words: str, style: str, more: str = "") -> None:
    """Print a line that begins with words in a style."""
    from rich.text import Text

    line = Text.assemble((clean(words), style), *(["  ", clean(more)] if more else []))
    console().print(line, soft_wrap=not console().is_terminal)
