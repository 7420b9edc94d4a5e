"""All words that readers see, apart from what authors write: the one place to translate."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from softpedal.measure import units as in_words
from softpedal.measure.directness import directness_word
from softpedal.measure.height import FLAT_M_PER_KM
from softpedal.measure.quietness import SHORT_ROUTE_M, whole_percent

if TYPE_CHECKING:
    from softpedal.measure.difficulty import Difficulty
    from softpedal.measure.direction import DirectionMeasures, Figures
    from softpedal.measure.units import Units

CAUTION_TITLE = "Before you ride"
CAUTION = (
    "Streets change. {ridden} Works, closures and parked vehicles come and go.",
    "Signs, signals and local traffic law come first, whatever this page says.",
    (
        "Ride to your own judgement and skill, to the weather and to the daylight. "
        "Use lights after dark and in poor visibility."
    ),
    (
        "Quiet is not a promise of safety. Surfaces break up; ice, leaves, floods and "
        "open water are real hazards."
    ),
    (
        "Where space is shared, people on foot have priority. Riding on a pavement may be "
        "unlawful: get off and push."
    ),
    "Stop in a safe place before you look at a map or a phone.",
    "Ride it yourself before you take a child or a group.",
    (
        "There is no guarantee. This is not engineering advice: questions of street design belong "
        "with qualified engineers and the road authority."
    ),
    "In an emergency call {emergency}.",
)
CAUTION_RIDDEN = "What stands here was true when it was last ridden, on {date}."
CAUTION_NOT_RIDDEN = "What stands here has not been confirmed by riding."
CAUTION_SHORT = (
    "Conditions change. Signs, signals and local law come first; ride to your own judgement. "
    "Quiet is not a promise of safety."
)

HEADINGS = {
    "map": "Map",
    "legs": "Turn by turn",
    "figures": "All figures",
    "hours": "When it differs",
    "back": "The way back",
    "caution": CAUTION_TITLE,
    "take": "Take it along",
    "about": "About this route",
}

DIRECTION_WORDS = {"outbound": "Outbound", "return": "The way back"}
RIDE_WORDS = {"outbound": "outbound", "return": "on the way back", "both": "both ways"}
SOURCE_WORDS = {"map": "from the map, not yet ridden", "reported": "reported by a reader"}
CONFIDENCE_WORDS = {"sure": "", "check": "to be checked", "guess": "a guess"}
GRADE_WORDS = {"easy": "easy", "moderate": "moderate", "demanding": "demanding"}
SIDES_TURNED = {"left": "right", "right": "left", "ahead": "", "both sides": "both sides"}
WALKERS = {"few": "few people walking", "many": "many people walking"}
LIT = {"yes": "lit", "partly": "partly lit", "no": "unlit"}
CONTROL_WORDS = {
    "cycle signals": "cycle signals",
    "toucan": "toucan crossing",
    "signals": "signals",
    "pedestrian signals": "pedestrian signals",
    "parallel": "parallel crossing",
    "zebra": "zebra",
    "refuge": "refuge in the middle",
    "roundabout": "roundabout",
    "none": "no signals",
    "bridge": "bridge",
    "underpass": "underpass",
}
MUST_WORDS = {
    "law": "",
    "barrier": "",
    "advised": "advised, not required",
    "optional": "only if you like",
}
DAY_WORDS = {
    "Mo": "Mon",
    "Tu": "Tue",
    "We": "Wed",
    "Th": "Thu",
    "Fr": "Fri",
    "Sa": "Sat",
    "Su": "Sun",
}
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)


def plural(count: int, one: str, many: str = "") -> str:
    """Return a count with its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def quiet_words(figures: Figures, length_m: float, units: Units) -> tuple[str, str]:
    """Return the quiet share as a large figure and the words under it."""
    if length_m < SHORT_ROUTE_M:
        metres = figures.quietness * length_m
        return in_words.distance(
            int(metres), units
        ), f"quiet of {in_words.distance(length_m, units)}"
    return f"{whole_percent(figures.quietness)} %", "quiet share"


def share_words(figures: Figures, length_m: float, units: Units) -> str:
    """Return the quiet share with the share on back streets beside it."""
    back = figures.metres_by_kind["back street"]
    if length_m < SHORT_ROUTE_M:
        quiet = in_words.distance(int(figures.quietness * length_m), units)
        return f"{quiet} quiet, and {in_words.distance(int(back), units)} on back streets"
    percent = whole_percent(back / length_m)
    return f"{whole_percent(figures.quietness)} % quiet, and {percent} % on back streets"


def busy_words(figures: Figures) -> str:
    """Return what stands under the number of busy-road crossings."""
    words = "busy crossing" if figures.busy == 1 else "busy crossings"
    without = figures.busy_uncontrolled
    if figures.busy == 1:
        return f"{words}, {'without' if without else 'with'} signals or zebra"
    if without:
        return f"{words}, {without} without signals or zebra"
    return f"{words}, all with signals or zebra" if figures.busy else words


def dismount_words(figures: Figures, units: Units) -> str:
    """Return what stands under the number of dismounts."""
    words = "dismount" if figures.dismounts == 1 else "dismounts"
    if figures.pushed_m >= 0.5:
        words += f", {in_words.distance(figures.pushed_m, units)} pushed"
    if figures.dismounts_advised:
        words += f"; {figures.dismounts_advised} more advised or optional"
    return words


def minutes(seconds: float) -> str:
    """Return seconds as whole minutes, rounded up."""
    return f"{max(1, -int(-seconds // 60))} min"


def climb_words(direction: DirectionMeasures, units: Units) -> str:
    """Return what one climbs; "not recorded" is never shown as 0."""
    if direction.heights is None:
        return "heights not recorded"
    up, down = direction.heights.ascent_m, direction.heights.descent_m
    if up + down < FLAT_M_PER_KM * direction.length_m / 1000:
        return "flat"
    return f"{in_words.rise(up, units)} up, {in_words.rise(down, units)} down"


def steepest_words(direction: DirectionMeasures, units: Units) -> str:
    """Return the steepest bit uphill in words, or ""."""
    steep = direction.steepest
    if steep is None or steep.gradient < 0.01:
        return ""
    where = in_words.chainage(steep.at_m, units)
    who = "as noted" if steep.source == "notes" else "as recorded; short ramps do not show"
    over = in_words.distance(steep.metres, units)
    return f"steepest {steep.gradient * 100:.0f} % for {over} at {where} ({who})"


def directness_words(direction: DirectionMeasures) -> list[str]:
    """Return how direct it is, in sentences without their full stops."""
    found = []
    if direction.detour_factor is not None:
        factor = direction.detour_factor
        found.append(f"{factor:.2f} times the straight line ({directness_word(factor)})")
    if direction.direct_ratio is not None:
        ratio = direction.direct_ratio
        found.append(f"{ratio:.2f} times the main-road way ({directness_word(ratio)})")
    return found or ["no detour factor: the ends meet, or part of the line is unknown"]


def grade_words(grade: Difficulty) -> str:
    """Return a grade with its qualification: "easy by day, when dry"."""
    words = GRADE_WORDS[grade.overall]
    return f"{words} {', '.join(grade.qualified)}" if grade.qualified else words


def hours_words(expression: str) -> str:
    """Return an opening_hours expression for reading: "Mon–Sat 08:00–18:00"."""
    if expression == "24/7":
        return "at all times"
    text = re.sub(r"\b(Mo|Tu|We|Th|Fr|Sa|Su)\b", lambda m: DAY_WORDS[m[1]], expression)
    text = text.replace("-", "–").replace(",", ", ")
    return re.sub(r"00:00–24:00", "all day", text)


def date_words(date: str) -> str:
    """Return 2026-05-16 as 16 May 2026, 2025-04 as April 2025."""
    year, month, *day = date.split("-")
    words = f"{MONTHS[int(month) - 1]} {year}"
    return f"{int(day[0])} {words}" if day else words
