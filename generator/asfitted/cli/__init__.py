"""The command line: one thin module a command, each loaded only when it is called for."""

import gc
from importlib import import_module

import click

COMMANDS = {
    "new": "Start the record of a home: a commented skeleton to fill in.",
    "check": "Say what conforms, what does not, and what is not proven.",
    "where": "Say where in a room a device may go, before anything is drilled.",
    "build": "Build each household's site and the office's site.",
    "seal": "Seal a household's site with a passphrase, into one file.",
    "pack": "Make the hand-over pack of a home, for paper.",
    "labels": "Make a sheet of labels with QR codes for the devices of a home.",
    "serve": "Show the office's site and refresh it when a record is saved.",
    "due": "List what is due by a day.",
    "learned": "Say what the visits show: false alarms, low batteries, lives of batteries.",
    "find": "Find every home that holds an affected device; make the notice of it.",
    "export": "Write the records as tables for any reporting tool: SQLite, CSV, Parquet.",
    "compare": "Say what changed between two revisions, and which verdicts with it.",
    "trace": "Say which revision brought in what does not conform.",
    "sample": "Draw homes for an audit, and write the sampling record to file.",
    "rules": "Show the rules, their limits and sources.",
    "schema": "Give the JSON Schema of a record, or of what a command gives as JSON.",
}
"""Every command with its short help, so that ``--help`` loads none of them."""
GARBAGE_AFTER = 100_000
"""New objects before Python looks for garbage. Nearly all that the libraries make while they load stays in use, and
looking through it every 700 objects took a fifth of the time of a check."""


class _Unusable(click.ClickException):
    exit_code = 2


class _Commands(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        gc.set_threshold(GARBAGE_AFTER)
        command: click.Command = import_module(f"asfitted.cli.{cmd_name}").command
        return command

    def invoke(self, ctx: click.Context) -> object:
        """Run a command; a history that cannot be read ends it with a sentence."""
        try:
            return super().invoke(ctx)
        except Exception as error:
            from asfitted.history.revision import HistoryDamaged

            if not isinstance(error, HistoryDamaged):
                raise
            raise _Unusable(str(error)) from None

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="asfitted", message="%(prog)s %(version)s")
def main() -> None:
    """Install records of the alarms in a home: checked, drawn and made into a site.

    A record is homes/HOME/record.yml. The tool advises; it does not certify. Local codes, makers' instructions and
    licensed practice come first.

    \b
    A first round:
      asfitted new mill-cottage      start a record, then fill it in
      asfitted check mill-cottage    what falls short, what is not proven
      asfitted build                 the sites, into site/
    """
