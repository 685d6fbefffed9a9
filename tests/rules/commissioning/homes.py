"""Words for the records of these tests: devices and visits as YAML."""

MOTION = "MD1: {kind: motion detector, in: living, corner: north-east, height: 2.2}"
CONTACT = "OC1: {kind: opening contact, on: front-door, edge: top}"
ALARM = "SA1: {kind: smoke alarm, on: ceiling of hall}"
UNIT = "CU1: {kind: control unit, in: hall, wall: west, from-south: 2.5, height: 1.5}"

UK = ("uk-england", "uk-scotland", "uk-wales", "uk-northern-ireland")
EUROPE = (*UK, "ie", "de", "no", "se", "dk", "fi", "be", "fr")
ELSEWHERE = ("us", "ca", "au", "au-queensland", "nz")
ALL = ("common", *EUROPE, *ELSEWHERE)


def visit(day: str, kind: str, *rest: str) -> str:
    """Write a visit."""
    return "{" + ", ".join([f"date: {day}", f"kind: {kind}", "by: technician 4", *rest]) + "}"


def visits(*each: str) -> str:
    """Write a list of visits."""
    return ", ".join(each)
