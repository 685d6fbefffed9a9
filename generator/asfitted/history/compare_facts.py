"""What changed of the facts about the home, its people and the system as a whole, and of the limits it is judged by."""

from collections.abc import Iterator, Mapping

from asfitted.history.changes import Change, Kind
from asfitted.history.parts import Do, on_home, same, same_field, swapped
from asfitted.history.side import Side
from asfitted.history.wording import NOTHING, field_words, spaced, stopped, turned, value_words
from asfitted.model.base import Value, key_of
from asfitted.model.home import Home, Household, Pet

_COUNTS = ("sleepers", "hard_of_hearing", "needs_help_out")


def fact_changes(old: Home, new: Home, rooms: Mapping[str, str]) -> Iterator[Change]:
    """Compare what is recorded of the home, the system and the household.

    Args:
        old: the earlier record.
        new: the later one.
        rooms: the later id of every earlier room.
    """
    yield from _fields(Kind.HOME, "home", old.home, new.home, without=("rules",))
    if old.home.rules != new.home.rules:
        before, after = old.home.rules, new.home.rules
        says = f"The home is judged by another rule set: {turned(before, after)}."
        yield Change(Kind.RULE_SET, "home", says, before, after, apply=on_home("home", rules=after))
    yield from _fields(Kind.SYSTEM, "system", old.system, new.system)
    yield from _household(old.household, new.household, rooms)


def limit_changes(old: Side, new: Side) -> Iterator[Change]:
    """Find limits that differ because the rule set is another one, or was itself changed."""
    if old.home.home.rules not in old.catalogue.names() or new.home.home.rules not in new.catalogue.names():
        return
    before, after = old.rules, new.rules
    if before.name == after.name and before.limits == after.limits and before.rules == after.rules:
        return
    for rule_id in dict.fromkeys([*before.rules, *after.rules]):
        was, now = before.limits.get(rule_id), after.limits.get(rule_id)
        a = (was.figure or "asked, without a figure") if was and not was.nothing else "nothing asked"
        b = (now.figure or "asked, without a figure") if now and not now.nothing else "nothing asked"
        if a == b and (was is None or now is None or was.options == now.options):
            continue
        rule = after.rules.get(rule_id) or before.rules[rule_id]
        by = f" ({now.by_whom})" if now and not now.nothing else ""
        says = f"{rule.title}: {turned(a, b)}{by}." if a != b else f"{rule.title}: what is asked was worded anew{by}."
        yield Change(Kind.LIMIT, rule_id, says, a, b)


def _fields(kind: Kind, part: str, old: Value, new: Value, without: tuple[str, ...] = ()) -> Iterator[Change]:
    for name in type(old).model_fields:
        if name not in without and not same_field(old, new, name):
            before, after = field_words(old, name), field_words(new, name)
            what = f"{'The home' if part == 'home' else 'The system'}: {spaced(key_of(name))}"
            do = on_home(part, **{name: getattr(new, name)})
            yield Change(kind, part, stopped(f"{what} {turned(before, after)}"), before, after, apply=do)


def _household(old: Household, new: Household, rooms: Mapping[str, str]) -> Iterator[Change]:
    for name in _COUNTS:
        counts = {rooms.get(room, room): count for room, count in getattr(old, name).items()}
        counted = getattr(new, name)
        for room in dict.fromkeys([*counts, *counted]):
            was, now = counts.get(room, 0), counted.get(room, 0)
            if was != now:
                earlier = next((a for a, b in rooms.items() if b == room), room)
                says = f"{spaced(key_of(name)).capitalize()} in the {spaced(room)}: {turned(was, now)}."
                yield Change(
                    Kind.HOUSEHOLD, key_of(name), says, str(was), str(now), (room,),
                    apply=_count(name, earlier, now),
                )  # fmt: skip
    yield from _pets(old, new, rooms)
    yield from _keyholders(old, new)
    was_valued = tuple(sorted(rooms.get(room, room) for room in old.valued_rooms))
    if was_valued != tuple(sorted(new.valued_rooms)):
        before, after = ", ".join(was_valued) or NOTHING, ", ".join(sorted(new.valued_rooms)) or NOTHING
        says = f"Valued rooms: {turned(before, after)}."
        do = on_home("household", valued_rooms=new.valued_rooms)
        yield Change(Kind.HOUSEHOLD, "valued-rooms", says, before, after, apply=do)


def _count(name: str, room: str, count: int) -> Do:
    def do(home: Home) -> Home:
        counts = {**getattr(home.household, name), room: count}
        kept = {key: value for key, value in counts.items() if value}
        return on_home("household", **{name: kept})(home)

    return do


def _pets(old: Household, new: Household, rooms: Mapping[str, str]) -> Iterator[Change]:
    gone = [_at_home(pet, rooms) for pet in old.pets]
    come = []
    for pet in new.pets:
        twin = next((other for other in gone if same(other, pet)), None)
        if twin is None:
            come.append(pet)
        else:
            gone.remove(twin)
    for pet in gone:
        after = next((other for other in come if other.kind == pet.kind), None)
        if after is not None:
            come.remove(after)
        before = value_words(pet)
        words = value_words(after) if after else ""
        says = f"Animal: {turned(before, words)}." if after else f"An animal is gone: {before}."
        yield Change(Kind.HOUSEHOLD, "pets", says, before, words, apply=_pet(pet, after))
    for pet in come:
        says = f"An animal has come: {value_words(pet)}."
        yield Change(Kind.HOUSEHOLD, "pets", says, "", value_words(pet), apply=_pet(None, pet))


def _at_home(pet: Pet, rooms: Mapping[str, str]) -> Pet:
    return pet.model_copy(update={"roams": tuple(rooms.get(room, room) for room in pet.roams)})


def _pet(old: Pet | None, new: Pet | None) -> Do:
    return lambda home: on_home("household", pets=swapped(home.household.pets, old, new))(home)


def _keyholders(old: Household, new: Household) -> Iterator[Change]:
    was, now = old.keyholders, new.keyholders
    if was is None and now is None:
        return
    if was is None or now is None:
        before, after = value_words(was) if was else "", value_words(now) if now else ""
        says = f"Keyholders: {turned(before or NOTHING, after or NOTHING)}."
        yield Change(Kind.HOUSEHOLD, "keyholders", says, before, after, apply=on_home("household", keyholders=now))
        return
    for name in type(was).model_fields:
        if not same_field(was, now, name):
            before, after = field_words(was, name), field_words(now, name)
            keyholders = was.model_copy(update={name: getattr(now, name)})
            yield Change(
                Kind.HOUSEHOLD, "keyholders", f"Keyholders: {key_of(name)} {turned(before, after)}.", before, after,
                apply=on_home("household", keyholders=keyholders),
            )  # fmt: skip
