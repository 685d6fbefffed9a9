"""The checks: plain functions from a rule, its limit and a case to findings.

Each is named in the rule data by the key it has here.
"""

from collections.abc import Callable, Iterator, Mapping

from asfitted.rules.case import Case
from asfitted.rules.catalogue import Limit, Rule
from asfitted.rules.checks.access import inside_protected, trap, watched
from asfitted.rules.checks.ages import inspected_in_time, tested_in_time, within_life
from asfitted.rules.checks.alarms import alarm_standby, battery_life, circuit, linked, powered
from asfitted.rules.checks.beams import across, clear_view, close_in, reaches
from asfitted.rules.checks.calculated import before_signal, covers_floor, sun_hours
from asfitted.rules.checks.calculated_links import heard_at_every_bed, link_as_others, readings_as_reckoned
from asfitted.rules.checks.ceiling import (
    above_heads,
    keep_above_heads,
    keep_no_higher,
    keep_wall_mounted,
    no_higher,
    sensor_below,
    wall_mounted,
)
from asfitted.rules.checks.clearance import clear_of, keep_clear, near, not_over_stairs, off_stairs
from asfitted.rules.checks.coverage import (
    covers,
    each_bay,
    keep_covered,
    keep_to_empty_bay,
)
from asfitted.rules.checks.doors import keep_near_doors, near_door
from asfitted.rules.checks.evidence import dated, enrolled, named, placed, recorded, tested
from asfitted.rules.checks.gas import (
    above_openings,
    breathing_height,
    by_appliance,
    fixed_up,
    from_appliance,
    gap_to_ceiling,
    high_side,
    off_ceiling,
    on_high_side,
    over_openings,
)
from asfitted.rules.checks.glass import glass_of_panes, hears_panes, pane_has_contact, room_also_has
from asfitted.rules.checks.grades import climate, events, lowest_grade, parts, reports_every, tamper
from asfitted.rules.checks.handover import all_listed, hand_over_says, handed_over, not_tested_told, taught
from asfitted.rules.checks.heard import heard_in_bed, woken_otherwise
from asfitted.rules.checks.lasting import lasts
from asfitted.rules.checks.numbers import area_per_alarm, keep_together, spacing
from asfitted.rules.checks.openings import airing, from_hinge, gap, in_from_frame, off_steel, signals_at, upper_part
from asfitted.rules.checks.paths import path_category, path_without_mains, told
from asfitted.rules.checks.people import keyholders, keyholders_confirmed, keyholders_in_time, keyholders_shown
from asfitted.rules.checks.pets import over_pets, pets_climb, pets_mass, pets_tried
from asfitted.rules.checks.power import (
    battery_age,
    battery_dated,
    battery_low,
    battery_size,
    cell_age,
    recharge,
    standby,
)
from asfitted.rules.checks.reaching import along_corridor, keep_along_corridor, keep_near_walls, reaches_walls
from asfitted.rules.checks.readings import last_figure, level_measured, reading_age, shown, times_clocked
from asfitted.rules.checks.ridge import below_top, keep_below_top
from asfitted.rules.checks.rooms import room_has, storey_has
from asfitted.rules.checks.routes import (
    delays,
    entry_and_abort,
    entry_door,
    entry_slack,
    keypad_walk,
    out_of_sight,
    time_set,
    watched_at_once,
)
from asfitted.rules.checks.settings import figure, room_use, setting, system_recorded
from asfitted.rules.checks.sleepers import near_bedrooms
from asfitted.rules.checks.sounders import above_ground, cut_off, not_with, sounder_level
from asfitted.rules.checks.view import at_height, band, facing_away, indoors, not_in_rooms
from asfitted.rules.checks.visits import (
    call_out_cause,
    false_alarms,
    looked_at,
    report_in_time,
    visit_age,
    visits_in_a_year,
)
from asfitted.rules.checks.ways_out import past_kitchen, without_key
from asfitted.rules.finding import Finding
from asfitted.rules.placing import Placing

Check = Callable[[Rule, Limit, Case], Iterator[Finding]]

CHECKS: Mapping[str, Check] = {
    "clear-of": clear_of,
    "near": near,
    "room-has": room_has,
    "storey-has": storey_has,
    "linked": linked,
    "powered": powered,
    "alarm-standby": alarm_standby,
    "battery-life": battery_life,
    "circuit": circuit,
    "within-life": within_life,
    "tested-in-time": tested_in_time,
    "inspected-in-time": inspected_in_time,
    "heard-in-bed": heard_in_bed,
    "woken-otherwise": woken_otherwise,
    "from-appliance": from_appliance,
    "gap-to-ceiling": gap_to_ceiling,
    "above-openings": above_openings,
    "on-high-side": on_high_side,
    "fixed-up": fixed_up,
    "breathing-height": breathing_height,
    "near-bedrooms": near_bedrooms,
    "not-over-stairs": not_over_stairs,
    "below-top": below_top,
    "wall-mounted": wall_mounted,
    "above-heads": above_heads,
    "sensor-below": sensor_below,
    "no-higher": no_higher,
    "covers": covers,
    "each-bay": each_bay,
    "reaches-walls": reaches_walls,
    "along-corridor": along_corridor,
    "near-door": near_door,
    "area-per-alarm": area_per_alarm,
    "spacing": spacing,
    "at-height": at_height,
    "indoors": indoors,
    "facing-away": facing_away,
    "over-pets": over_pets,
    "gap": gap,
    "upper-part": upper_part,
    "watched": watched,
    "trap": trap,
    "inside-protected": inside_protected,
    "reaches": reaches,
    "close-in": close_in,
    "across": across,
    "clear-view": clear_view,
    "not-in-rooms": not_in_rooms,
    "pets-mass": pets_mass,
    "pets-tried": pets_tried,
    "pets-climb": pets_climb,
    "signals-at": signals_at,
    "airing": airing,
    "from-hinge": from_hinge,
    "in-from-frame": in_from_frame,
    "off-steel": off_steel,
    "hears-panes": hears_panes,
    "pane-has-contact": pane_has_contact,
    "glass-of-panes": glass_of_panes,
    "room-also-has": room_also_has,
    "entry-door": entry_door,
    "keypad-walk": keypad_walk,
    "entry-slack": entry_slack,
    "time-set": time_set,
    "entry-and-abort": entry_and_abort,
    "delays": delays,
    "watched-at-once": watched_at_once,
    "out-of-sight": out_of_sight,
    "cut-off": cut_off,
    "sounder-level": sounder_level,
    "above-ground": above_ground,
    "not-with": not_with,
    "parts": parts,
    "lowest-grade": lowest_grade,
    "climate": climate,
    "tamper": tamper,
    "reports-every": reports_every,
    "events": events,
    "setting": setting,
    "keyholders": keyholders,
    "enrolled": enrolled,
    "named": named,
    "placed": placed,
    "dated": dated,
    "tested": tested,
    "recorded": recorded,
    "figure": figure,
    "room-use": room_use,
    "system-recorded": system_recorded,
    "standby": standby,
    "battery-size": battery_size,
    "recharge": recharge,
    "battery-age": battery_age,
    "cell-age": cell_age,
    "battery-low": battery_low,
    "battery-dated": battery_dated,
    "path-without-mains": path_without_mains,
    "path-category": path_category,
    "told": told,
    "shown": shown,
    "last-figure": last_figure,
    "reading-age": reading_age,
    "level-measured": level_measured,
    "times-clocked": times_clocked,
    "keyholders-in-time": keyholders_in_time,
    "keyholders-shown": keyholders_shown,
    "keyholders-confirmed": keyholders_confirmed,
    "report-in-time": report_in_time,
    "visit-age": visit_age,
    "visits-in-a-year": visits_in_a_year,
    "call-out-cause": call_out_cause,
    "false-alarms": false_alarms,
    "looked-at": looked_at,
    "handed-over": handed_over,
    "taught": taught,
    "hand-over-says": hand_over_says,
    "not-tested-told": not_tested_told,
    "all-listed": all_listed,
    "covers-floor": covers_floor,
    "before-signal": before_signal,
    "readings-as-reckoned": readings_as_reckoned,
    "link-as-others": link_as_others,
    "heard-at-every-bed": heard_at_every_bed,
    "lasts": lasts,
    "sun-hours": sun_hours,
    "past-kitchen": past_kitchen,
    "without-key": without_key,
}

PLACINGS: Mapping[str, Placing] = {
    "at-height": band,
    "clear-of": keep_clear,
    "not-over-stairs": off_stairs,
    "below-top": keep_below_top,
    "wall-mounted": keep_wall_mounted,
    "above-heads": keep_above_heads,
    "no-higher": keep_no_higher,
    "covers": keep_covered,
    "each-bay": keep_to_empty_bay,
    "reaches-walls": keep_near_walls,
    "along-corridor": keep_along_corridor,
    "near-door": keep_near_doors,
    "spacing": keep_together,
    "from-appliance": by_appliance,
    "gap-to-ceiling": off_ceiling,
    "above-openings": over_openings,
    "on-high-side": high_side,
}
"""What the checks that are about the place of a device forbid of a ceiling or wall, by the same keys."""
