"""All that is wrong with a home is told at once, and nothing that only follows from it."""

from tests.dwelling.homes import lay_out_text

HOUSE = """
record: 1
home: {{label: House}}
household: {{sleepers: {{{sleeps}: 2}}}}
storeys:
  - id: ground
    height: 2.40
    rooms:
      - {{id: hall, use: circulation, corner: [0, 0], size: [2, 4]}}
      - {{id: living, use: living, {living}, size: [4, 4]}}
    openings:
      - {{door: hall south, id: front-door, from-west: {door}, width: 0.9, height: 2.0}}
      - {{door: hall - living, id: living-door, from-south: 1.2, width: 0.8}}
    fittings:
      - {{light: living, from-west: {light}, from-south: 2}}
      - {{kind: air-vent, on: front-door, height: 1.9}}
    stairs:
      - {{id: flight, in: hall, to: landing, from-west: 0, from-south: 1, size: [0.9, 2.6], up: north}}
  - id: first
    height: 2.40
    rooms:
      - {{id: landing, use: circulation, corner: [0, 0], size: [2, 4]}}
      - {{id: bedroom, use: bedroom, {bedroom}, size: [4, 4]}}
devices:
  SA1: {{kind: smoke alarm, on: ceiling of living, from-west: 1, from-south: {alarm}}}
  SA2: {{kind: smoke alarm, on: ceiling of landing, from-west: 1, from-south: 2}}
  OC1: {{kind: opening contact, on: front-door, height: 1.9}}
  OS1: {{kind: outdoor sounder, outside: bedroom east, from-south: {sounder}, height: 3}}
"""
RIGHT = {
    "sleeps": "bedroom",
    "living": 'beside: "east of hall, flush south"',
    "door": "0.4",
    "light": "1",
    "bedroom": 'beside: "east of landing, flush south"',
    "alarm": "2",
    "sounder": "1",
}


def told(text: str = HOUSE, **wrong: str) -> list[str]:
    """Give the paths of all problems."""
    dwelling, problems = lay_out_text(text.format(**{**RIGHT, **wrong}))
    assert (dwelling is None) == bool(problems)
    return sorted(problem.partition(": found")[0] for problem in problems)


def test_home_in_order_has_nothing_wrong() -> None:
    assert told() == []


def test_unknown_name_hides_nothing_else() -> None:
    assert told(sleeps="attic", door="1.8", light="9", alarm="9", sounder="9") == [
        "devices.OS1",
        "devices.SA1",
        "household.sleepers.attic",
        "storeys[0].fittings[0]",
        "storeys[0].openings[0]",
    ]


def test_what_is_on_an_opening_that_is_wrong_is_not_called_wrong_too() -> None:
    assert told(door="1.8") == ["storeys[0].openings[0]"]


def test_rooms_that_are_wrong_hide_only_what_is_in_them_and_on_their_storey() -> None:
    assert told(living="corner: [1, 0]", door="1.8", light="9", alarm="9", sounder="9") == [
        "devices.OS1",
        "storeys[0].rooms[1]",
    ]
    assert told(bedroom="corner: [1, 0]", sounder="9", alarm="9") == ["devices.SA1", "storeys[1].rooms[1]"]


def test_rooms_of_two_storeys_that_are_wrong_are_both_told() -> None:
    assert told(living="corner: [1, 0]", bedroom="corner: [1, 0]") == ["storeys[0].rooms[1]", "storeys[1].rooms[1]"]


def test_storey_below_the_one_under_it_hides_nothing_else() -> None:
    text = HOUSE.replace("  - id: first\n", "  - id: first\n    level: 1.0\n")
    assert told(text, light="9") == ["storeys[0].fittings[0]", "storeys[1].level"]


def test_ids_given_twice_are_told_without_what_follows_from_them() -> None:
    assert told(HOUSE.replace("id: bedroom", "id: living"), alarm="9", door="1.8") == [
        "devices.OS1",
        "household.sleepers.bedroom",
        "storeys[0].openings[0]",
        "storeys[1].rooms[1].id",
    ]
    assert told(HOUSE.replace("id: living,", "id: hall,"), alarm="9") == [
        "devices.SA1",
        "storeys[0].rooms[1].id",
    ]
    assert told(HOUSE.replace("id: living-door", "id: front-door")) == ["storeys[0].openings[1].id"]


def test_room_that_is_nowhere_is_told_even_while_no_room_is_right() -> None:
    text = HOUSE.replace("outside: bedroom east", "outside: attic east").format(
        **{**RIGHT, "living": "corner: [1, 0]", "bedroom": "corner: [1, 0]"}
    )
    _, problems = lay_out_text(text)
    assert [problem for problem in problems if "attic" in problem] == [
        "devices.OS1: found “attic”, which is no room of this storey; expected a room of the record."
    ]


def test_two_storeys_of_one_id_are_told() -> None:
    assert told(HOUSE.replace("- id: first", "- id: ground")) == ["storeys[1].id"]


def test_device_without_any_place_is_planned_and_has_no_spot() -> None:
    text = HOUSE + "  SA9: {{kind: smoke alarm, name: spare}}\n  MD9: {{kind: motion detector, height: 2.1}}\n"
    dwelling, problems = lay_out_text(text.format(**RIGHT))
    assert problems == []
    assert dwelling is not None
    assert set(dwelling.spots) == {"SA1", "SA2", "OC1", "OS1"}


def test_distances_without_a_room_are_refused() -> None:
    assert told(HOUSE + "  SA9: {{kind: smoke alarm, from-west: 1, from-south: 1}}\n") == ["devices.SA9"]
