"""Which rules stand behind the verdicts of homes, pinned by digest."""

from collections.abc import Iterable
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from asfitted.fleet.rule_sets import FOLDER
from asfitted.fleet.sampling_record import RuleSetUsed
from asfitted.rules.catalogue import Catalogue


def rules_digest() -> str:
    """Give the SHA-256 over the rules that come with the program: over ``SHA-256  NAME`` of each file of their data."""
    data = files("asfitted.rules") / "data"
    texts = {entry.name: entry.read_bytes() for entry in data.iterdir() if entry.name.endswith(".toml")}
    lines = (f"{sha256(text).hexdigest()}  {name}\n" for name, text in sorted(texts.items()))
    return sha256("".join(lines).encode()).hexdigest()


def sets_used(homes: Path, rules: Catalogue, named: Iterable[str]) -> list[RuleSetUsed]:
    """Give the rule sets that homes name, with those they build on; of a firm's own the SHA-256 of its file.

    Args:
        homes: the folder beside whose homes the firm's own sets stand.
        rules: the catalogue with them.
        named: the sets that homes name.
    """
    used = sorted({name for first in named for name in rules.chain(first)})
    return [
        RuleSetUsed(
            name=name,
            title=rules.sets[name].title,
            sha256=sha256((homes / FOLDER / f"{name}.toml").read_bytes()).hexdigest() if rules.sets[name].own else None,
        )
        for name in used
    ]
