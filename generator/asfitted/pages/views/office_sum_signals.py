"""What is worked out of signals comes to: radio links, sun, sound at the beds, power and batteries."""

from datetime import date
from typing import TYPE_CHECKING

from asfitted.pages.languages import long_date
from asfitted.pages.quantity import clock, told
from asfitted.pages.views.office_sum_tables import Row, Said, Table, TopicOfHome, nothing
from asfitted.pages.wording import counted, listed, sentence
from asfitted.reckon.sums import bed_words

if TYPE_CHECKING:
    from asfitted.reckon.hearing import AtBed
    from asfitted.reckon.working import Working


def radio_told(of: TopicOfHome) -> Said:
    """Tell what each link has left, and what other models say of its path."""
    radio = of.dossier.reckoned.radio
    if radio.weakest is None:
        return nothing("radio link", radio.without_place), ()
    weakest = radio.weakest
    how = "as measured" if weakest.measured else "left after fading, as predicted"
    says = (
        f"The weakest of {counted(len(radio.links), 'link', 'links')} is {weakest.tag} to {weakest.to}: "
        f"{told(weakest.reserve, 'dB')} {how}."
    )
    rows = tuple(
        Row(
            (
                f"{link.tag} to {link.to}",
                told(link.inputs["d"].value, "m"),
                told(link.inputs["W"].value, "dB"),
                str(link.floors),
                told(link.predicted, "dB"),
                told(link.measured[0], "dB") if link.measured else "never",
                told(link.working.result.value, "dB"),
                told(100 * link.step("q"), "%"),
            ),
            anchor,
        )
        for link, anchor in zip(radio.links, of.anchors, strict=True)
    )
    checks = [(link, link.cross_checks) for link in radio.links]
    models = tuple(check.model for check in checks[0][1])
    others = tuple(
        Row(
            (f"{link.tag} to {link.to}", told(link.step("L"), "dB"), *(told(c.loss, "dB") for c in each)),
            anchor,
        )
        for (link, each), anchor in zip(checks, of.anchors, strict=True)
    )
    beyond = dict.fromkeys(f"{check.model}: {what}" for _, each in checks for check in each for what in check.outside)
    note = "Sources: " + "; ".join(f"{check.model}, {check.source}" for check in checks[0][1]) + "."
    note += f" Outside what a model is stated for: {'; '.join(beyond)}." if beyond else ""
    heads = ("link", "path", "walls", "floors", "margin", "measured", "left after fading", "holds in")
    return says, (
        Table("The links", heads, rows),
        Table("Loss of the path by other models", ("link", "counted here", *models), others, note),
    )


def sun_told(of: TopicOfHome) -> Said:
    """Tell how long the sun is on each detector."""
    sun = of.dossier.reckoned.sun
    if sun.ask and not sun.detectors:
        return f"Nothing is worked out. {sun.ask}", ()
    if not sun.detectors:
        return nothing("motion detector", sun.without_place), ()
    most = max(sun.detectors, key=lambda one: one.total.hours)
    worst = most.total.worst
    says = f"No direct sun reaches {listed(one.tag for one in sun.detectors)} in the year, under any sky."
    if worst:
        says = (
            f"{most.tag} has the most direct sun under a clear sky: {told(most.total.hours, 'h')} a year, "
            f"most on {long_date(worst.day)} from {clock(worst.first)} to {clock(worst.last)}."
        )
    rows = tuple(
        Row(
            (
                one.tag,
                told(one.total.hours, "h"),
                "; ".join(f"{of.opening(name)} {told(by.hours, 'h')}" for name, by in one.panes.items()) or "none",
                f"{long_date(day.day)}, {clock(day.first)} to {clock(day.last)}"
                if (day := one.total.worst)
                else "none",
            ),
            anchor,
        )
        for one, anchor in zip(sun.detectors, of.anchors, strict=True)
    )
    heads = ("detector", "direct sun a year", "through", "day with most")
    return says, (Table("The detectors", heads, rows, "By the standard time of the place, without summer time."),)


def sound_told(of: TopicOfHome) -> Said:
    """Tell what is heard at each bed."""
    sound = of.dossier.reckoned.sound
    weakest = sound.weakest
    if weakest is None or weakest.weakest is None:
        return nothing("bed, or no alarm with a place", sound.without_place), ()
    group = weakest.weakest
    how = "as measured" if all(one.measured for one in group.heard) else "as predicted"
    says = (
        f"Least is heard at the {weakest.bed.called} with doors shut: {listed(group.tags)} "
        f"{'gives' if len(group.tags) == 1 else 'together give'} {told(group.level, 'dB(A)')} there, {how}."
    )
    rows = tuple(
        Row(
            (
                sentence(bed_words(at)),
                ", ".join(group.tags),
                told(group.level, "dB(A)"),
                listed(dict.fromkeys("measured" if one.measured else "predicted" for one in group.heard)),
                f"± {told(max(one.spread for one in group.heard), 'dB')}",
                _hearing(at),
            ),
            of.anchor(f"{', '.join(group.tags)} together, {bed_words(at)}")
            or of.anchor(f"{group.tags[0]}, {bed_words(at)}"),
        )
        for at in sound.beds
        for group in at.together
    )
    left = (*sound.without_place, *sound.outdoors)
    note = f"Left out, for want of a place or because they sound outdoors: {listed(left)}." if left else ""
    heads = ("bed", "what sounds", "level", "how known", "may be out by", "also woken by")
    return says, (Table("What is heard at each bed", heads, rows, note),)


def _hearing(at: "AtBed") -> str:
    if at.bed.hard_of_hearing:
        return listed(at.woken_by) if at.woken_by else f"{at.bed.hard_of_hearing} hard of hearing, nothing recorded"
    return listed(at.woken_by) or "not asked"


def power_told(of: TopicOfHome) -> Said:
    """Tell standby, batteries and cables."""
    power = of.dossier.reckoned.power
    units = tuple(
        Row(
            (unit.tag, name, *(_step(sheet, symbol) for symbol in ("N", "H", "m"))),
            of.anchor(f"{unit.tag}, standby, {name}"),
        )
        for unit in power.standby
        for name, sheet in unit.workings.items()
    )
    cells = tuple(
        Row(
            (
                cell.tag,
                cell.type or "not recorded",
                long_date(cell.put_in) if cell.put_in else "not recorded",
                told(cell.working.result.value, "years"),
                "its maker" if cell.life else "reckoned",
                _between(cell.between),
            ),
            of.anchor(f"{cell.tag}, battery as its maker states") or of.anchor(f"{cell.tag}, battery as reckoned"),
        )
        for cell in power.cells
    )
    cables = tuple(
        Row((run.tag, _step(run.working, "U_L"), _step(run.working, "m")), of.anchor(f"{run.tag}, cable"))
        for run in power.cables
    )
    first = power.next_change
    says = "Nothing is worked out: the record holds no control unit, battery or cable."
    if first is not None and first.between is not None:
        says = f"The battery that may end first is that of {first.tag}, between {_between(first.between)}."
    elif units:
        says = f"{power.standby[0].tag} needs {units[0].cells[2]} by common practice."
    elif cells or cables:
        says = f"{sentence(counted(len(cells), 'battery', 'batteries'))}, none with a known day of change."
    return says, (
        Table("Standby of the control unit", ("device", "formula", "needed", "hours it holds", "left over"), units),
        Table("Batteries", ("device", "battery", "put in", "life", "known from", "may end between"), cells),
        Table("Cables", ("device", "voltage there", "above what it needs"), cables),
    )


def _between(days: tuple[date, date] | None) -> str:
    return f"{long_date(days[0])} and {long_date(days[1])}" if days else "unknown"


def _step(sheet: "Working", name: str) -> str:
    return next((told(step.value, step.unit) for step in sheet.steps if step.symbol == name), "unknown")
