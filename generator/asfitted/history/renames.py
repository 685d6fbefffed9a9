"""Homes that went by one name and came by another, or exchanged their names."""

import re
from collections.abc import Callable, Mapping
from difflib import SequenceMatcher
from itertools import combinations

ALIKE = 0.6
"""Share of a record that must be the same for a home that went and one that came to be one home."""
_SERIAL = re.compile(rb"""\bserial["']?\s*:\s*(?:"([^"\r\n]*)"|'([^'\r\n]*)'|([^\s,{}\[\]#"']+))""")


def paired(gone: Mapping[str, bytes], come: Mapping[str, bytes]) -> dict[str, str]:
    """Pair homes that are gone with homes that have come, the most alike first; each at most once."""
    likely = []
    for old, old_text in gone.items():
        for new, new_text in come.items():
            likeness = 1.0 if old_text == new_text else _likeness(old_text, new_text)
            if likeness >= ALIKE and not strangers(old_text, new_text):
                likely.append((-likeness, old, new))
    pairs: dict[str, str] = {}
    for _, old, new in sorted(likely):
        if old not in pairs and new not in pairs.values():
            pairs[old] = new
    return pairs


def strangers(a: bytes | None, b: bytes | None) -> bool:
    """Tell whether two records hold devices with serials, and none in common: two homes, however alike they read."""
    some, others = _serials(a), _serials(b)
    return bool(some) and bool(others) and some.isdisjoint(others)


def exchanged(records: Mapping[str, tuple[str, str]], text: Callable[[str], bytes | None]) -> dict[str, str]:
    """Find homes that exchanged their names: the earlier name of each by its later one.

    Each took the other's very record; or neither shares a serial with what its name stood for, and both do crosswise.

    Args:
        records: the content of records that changed, before and after, by name.
        text: gives the content.
    """
    found: dict[str, str] = {}
    if len(records) < 2:
        return found
    by_content = {was: name for name, (was, _) in records.items()}
    for name, (was, now) in records.items():
        other = by_content.get(now, name)
        if other != name and records[other][1] == was:
            found[name] = other
    told = {
        name: (_serials(text(was)), _serials(text(now))) for name, (was, now) in records.items() if name not in found
    }
    strange = [name for name, (was, now) in told.items() if was and now and was.isdisjoint(now)]
    for a, b in combinations(strange, 2):
        if a not in found and b not in found and told[a][0] & told[b][1] and told[b][0] & told[a][1]:
            found |= {a: b, b: a}
    return found


def _serials(record: bytes | None) -> frozenset[bytes]:
    return frozenset(b"".join(found.groups(b"")).strip() for found in _SERIAL.finditer(record or b""))


def _likeness(old: bytes, new: bytes) -> float:
    """Give the share of lines that two texts have in common, in order."""
    matcher = SequenceMatcher(None, old.splitlines(), new.splitlines(), autojunk=False)
    return matcher.ratio() if matcher.quick_ratio() >= ALIKE else 0.0
