"""All words that readers see, apart from what authors write: the one place to translate."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from softpedal.measure.difficulty import Length, Word
from softpedal.measure.directness import directness_word
from softpedal.measure.height import FLAT_M_PER_KM
from softpedal.measure.quietness import SHORT_ROUTE_M, whole_percent
from softpedal.site.language import date, number, tr
from softpedal.site.quantities import chainage, distance, height, rise, small

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
CAUTION_RIDDEN = "What stands here is as the author saw it, last on {date}."
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
    "share": "Share",
    "about": "About this route",
}

DIRECTION_WORDS = {"outbound": "Outbound", "return": "The way back"}
RIDE_WORDS = {"outbound": "outbound", "return": "on the way back", "both": "both ways"}
SOURCE_WORDS = {
    "map": "from the map, not yet confirmed",
    "said": "said on the ride, not yet confirmed",
    "reported": "reported by a reader",
}
CONFIDENCE_WORDS = {"sure": "", "check": "to be checked", "guess": "a guess"}
#: By the movement, or by the control where nothing is crossed on the level.
MOVEMENTS = {
    "bridge": "Over {road} by a bridge",
    "underpass": "Under {road}",
    "cross": "Cross {road}",
    "turn": "Turn across {road}",
    "roundabout": "Roundabout on {road}",
}
#: Without a length, and with one.
GET_OFF = ("Get off and push: {why}", "Get off and push for {length}: {why}")
MAY_GET_OFF = (
    "You may want to get off and push: {why}",
    "You may want to get off and push for {length}: {why}",
)
PUSH_OVER = {
    "zebra": "Get off and push over the zebra.",
    "pedestrian signals": "Get off and push over at the pedestrian signals.",
}
SIDES = {
    "": "",
    "left": "on your left",
    "right": "on your right",
    "ahead": "ahead",
    "both sides": "on both sides",
}
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


def caution_sentences(ridden_on: str | None, emergency: str) -> list[str]:
    """Return the standard caution, whole; `ridden_on` is the day of the last ride."""
    ridden = _ridden(ridden_on)
    return [tr(sentence, ridden=ridden, emergency=emergency) for sentence in CAUTION]


def caution_in_short(ridden_on: str | None) -> str:
    """Return when a route was last ridden, and the caution in short."""
    return f"{_ridden(ridden_on)} {tr(CAUTION_SHORT)}"


def _ridden(ridden_on: str | None) -> str:
    return tr(CAUTION_RIDDEN, date=date(ridden_on)) if ridden_on else tr(CAUTION_NOT_RIDDEN)


def span_words(start: str, end: str | None) -> str:
    """Return when an alert holds, in words; without an end it is not known until when."""
    if end is None:
        return tr("From {date}", date=date(start))
    return tr("{start} to {end}", start=date(start), end=date(end))


def quiet_words(figures: Figures, length_m: float, units: Units) -> tuple[str, str]:
    """Return the quiet share as a large figure and the words under it."""
    if length_m < SHORT_ROUTE_M:
        metres = int(figures.quietness * length_m)
        return distance(metres, units), tr("quiet of {length}", length=distance(length_m, units))
    return f"{whole_percent(figures.quietness)} %", tr("quiet share")


def share_words(figures: Figures, length_m: float, units: Units) -> str:
    """Return the quiet share with the share on back streets beside it."""
    back = figures.metres_by_kind["back street"]
    if length_m < SHORT_ROUTE_M:
        quiet = distance(int(figures.quietness * length_m), units)
        metres = distance(int(back), units)
        return tr("{quiet} quiet, and {back} on back streets", quiet=quiet, back=metres)
    return tr(
        "{quiet} quiet, and {back} on back streets",
        quiet=f"{whole_percent(figures.quietness)} %",
        back=f"{whole_percent(back / length_m)} %",
    )


def busy_words(figures: Figures) -> str:
    """Return what stands under the number of busy-road crossings."""
    without = figures.busy_uncontrolled
    if figures.busy == 0:
        return tr("busy crossings")
    if figures.busy == 1:
        one = tr("busy crossing, without signals or zebra")
        return one if without else tr("busy crossing, with signals or zebra")
    if without:
        return tr("busy crossings, {without} without signals or zebra", without=without)
    return tr("busy crossings, all with signals or zebra")


def dismount_words(figures: Figures, units: Units) -> str:
    """Return what stands under the number of dismounts."""
    words = tr("dismount") if figures.dismounts == 1 else tr("dismounts")
    if figures.pushed_m >= 0.5:
        words += tr(", {length} pushed", length=distance(figures.pushed_m, units))
    if figures.dismounts_advised:
        words += tr("; {count} more advised or optional", count=figures.dismounts_advised)
    return words


def climb_words(direction: DirectionMeasures, units: Units) -> str:
    """Return what one climbs; "not recorded" is never shown as 0."""
    if direction.heights is None:
        return tr("heights not recorded")
    up, down = direction.heights.ascent_m, direction.heights.descent_m
    if up + down < FLAT_M_PER_KM * direction.length_m / 1000:
        return tr("flat")
    return tr("{up} up, {down} down", up=rise(up, units), down=rise(down, units))


def steepest_words(direction: DirectionMeasures, units: Units) -> str:
    """Return the steepest bit uphill in words, or ""."""
    steep = direction.steepest
    if steep is None or steep.gradient < 0.01:
        return ""
    noted = tr("as noted")
    return tr(
        "steepest {percent} % for {length} at {chainage} ({who})",
        percent=f"{steep.gradient * 100:.0f}",
        length=distance(steep.metres, units),
        chainage=chainage(steep.at_m, units),
        who=noted if steep.source == "notes" else tr("as recorded; short ramps do not show"),
    )


def directness_words(direction: DirectionMeasures) -> list[str]:
    """Return how direct it is, in sentences without their full stops."""
    texts = (
        (direction.detour_factor, "{factor} times the straight line ({word})"),
        (direction.direct_ratio, "{factor} times the main-road way ({word})"),
    )
    found = [
        tr(text, factor=number(f"{factor:.2f}"), word=tr(directness_word(factor)))
        for factor, text in texts
        if factor is not None
    ]
    return found or [tr("no detour factor: the ends meet, or part of the line is unknown")]


def grade_words(grade: Difficulty) -> str:
    """Return a grade with its qualification: "easy by day, when dry"."""
    words = tr(grade.overall)
    qualified = ", ".join(tr(word) for word in grade.qualified)
    if not qualified:
        return words
    return f"{words} {qualified}" if grade.overall == "easy" else f"{words} ({qualified})"


def reason_words(grade: Difficulty, units: Units) -> str:
    """Return why a route is of its grade."""
    forms = {"distance": distance, "width": small, "height": height}

    def told(value: Length | str) -> str:
        if isinstance(value, Length):
            return forms[value.form](value.metres, units)
        return tr(value) if isinstance(value, Word) else value

    return "; ".join(
        tr(reason.text, **{name: told(value) for name, value in reason.values})
        for reason in grade.reasons
    )


def hours_words(expression: str) -> str:
    """Return an opening_hours expression for reading: "Mon–Sat 08:00–18:00"."""
    if expression == "24/7":
        return tr("at all times")
    text = re.sub(r"\b(Mo|Tu|We|Th|Fr|Sa|Su)\b", lambda m: tr(DAY_WORDS[m[1]]), expression)
    text = re.sub(r"(?<=\d)-(?=\d)|(?<=[^\W\d])-(?=[^\W\d])", "–", text).replace(",", ", ")
    return text.replace("00:00–24:00", tr("all day")).replace(",  ", ", ")
