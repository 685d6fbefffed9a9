"""The home of one storey that tests of rules fill with parts in YAML flow text."""

HOME = """\
record: 1
home: {{label: Test home, rules: {rules}{home}}}
household: {household}
system: {system}
storeys:
  - id: ground
    level: 0.3
    height: {height}
    rooms: [{rooms}]
    openings: [{openings}]
    fittings: [{fittings}]
devices: {{{devices}}}
visits: [{visits}]
variations: [{variations}]
"""
PARTS = {
    "rules": "common", "home": "", "household": "{}", "system": "{}", "height": "2.40", "openings": "",
    "fittings": "", "devices": "", "visits": "", "variations": "",
}  # fmt: skip
"""What a test says of each part unless it says something else."""


def written(**parts: str) -> str:
    """Write the record of the home with some parts of its own; it has no rooms but those given."""
    return HOME.format(**{**PARTS, **parts})
