"""Homes that went by one name and came by another."""

from collections.abc import Mapping
from difflib import SequenceMatcher

ALIKE = 0.6
"""Share of a record that must be the same for a home that went and one that came to be one home."""


def paired(gone: Mapping[str, bytes], come: Mapping[str, bytes]) -> dict[str, str]:
    """Pair homes that are gone with homes that have come, the most alike first; each at most once."""
    likely = []
    for old, old_text in gone.items():
        for new, new_text in come.items():
            likeness = 1.0 if old_text == new_text else _likeness(old_text, new_text)
            if likeness >= ALIKE:
                likely.append((-likeness, old, new))
    pairs: dict[str, str] = {}
    for _, old, new in sorted(likely):
        if old not in pairs and new not in pairs.values():
            pairs[old] = new
    return pairs


def _likeness(old: bytes, new: bytes) -> float:
    """Give the share of lines that two texts have in common, in order."""
    matcher = SequenceMatcher(None, old.splitlines(), new.splitlines(), autojunk=False)
    return matcher.ratio() if matcher.quick_ratio() >= ALIKE else 0.0
