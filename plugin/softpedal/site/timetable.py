"""The table of legs and cues: everything on a line, in the order in which a rider meets it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from markupsafe import Markup, escape

from softpedal.library.notes import OTHERWISE, Crossing, Dismount
from softpedal.measure.direction import source_in
from softpedal.measure.legs import is_doubted
from softpedal.measure.stress import leg_words
from softpedal.site import wording
from softpedal.site.film import on_film
from softpedal.site.language import tr
from softpedal.site.legend import swatch
from softpedal.site.looks import look_of
from softpedal.site.quantities import chainage, distance, small
from softpedal.site.report_link import report_row
from softpedal.site.row import Row, met_before
from softpedal.site.text import inline

if TYPE_CHECKING:
    from collections.abc import Callable

    from softpedal.library.notes import Barrier, Direction, Hazard, Item, Landmark, Leg
    from softpedal.library.route import Placed, Route
    from softpedal.measure.crossings import MetCrossing, MetDismount
    from softpedal.measure.direction import DirectionMeasures, StateMeasures
    from softpedal.measure.legs import Stretch
    from softpedal.measure.stress import Level
    from softpedal.measure.units import Units
    from softpedal.site.film import OnFilm


class Timetable:
    """Writes the rows of one direction in one state of the week."""

    def __init__(
        self,
        route: Route,
        direction: DirectionMeasures,
        state: StateMeasures,
        units: Units,
        reports: Callable[[float, Direction], str] | None = None,
    ) -> None:
        self.route, self.along, self.state, self.units = route, direction, state, units
        self.reports = reports
        self.direction: Direction = direction.direction
        self.is_ridden = route.is_ridden(direction.direction)
        self.turned = direction.line.is_turned

    def rows(self) -> list[Row]:
        """Return all rows in riding order; what stands at one place comes before the next leg."""
        line = self.along.line
        points = [self._crossing(met) for met in self.along.crossings]
        points += [self._dismount(met) for met in self.along.dismounts if met.dismount]
        points += [self._hazard(p) for p in line.hazards]
        points += [self._barrier(p) for p in line.barriers]
        points += [self._landmark(p) for p in line.landmarks]
        points += [
            self._sign(
                p.at_m,
                tr(
                    "Follow the signs up to {chainage}: {what}",
                    chainage=self._at(p.to_m),
                    what=p.item.as_,
                ),
                p.item,
                p.to_m,
            )
            for p in line.signed
        ]
        points += [
            self._sign(p.at_m, tr("Pass by {what}", what=p.item.what), p.item) for p in line.skip
        ]
        legs = [self._leg(i, *leg) for i, leg in enumerate(self.state.legs)]
        return [self._with_report(row) for row in sorted([*points, *legs], key=met_before)]

    def _with_report(self, row: Row) -> Row:
        if row.sort in ("landmark", "sign"):
            return row  # they stand on a leg, on which there is a link
        place = f"{row.at}, {row.title.striptags()}"
        return replace(row, report=report_row(self.reports, row.at_m, self.direction, place))

    def _leg(self, index: int, stretch: Stretch, level: Level) -> Row:
        leg = stretch.leg
        return Row(
            stretch.from_m,
            self._at(stretch.from_m),
            "leg",
            inline(leg.street),
            index,
            inline(self._cue(leg)),
            tr(stretch.kind),
            tr(leg_words(level.level, stretch.kind))
            + (tr(" (assumed from the kind of street)") if level.assumed else ""),
            tuple(self._leg_details(stretch, level)),
            Markup(swatch(look_of(stretch.kind))),  # noqa: S704 - our own drawing
            distance(stretch.length_m, self.units),
            film=self._film(leg),
            to_m=stretch.to_m,
            item=leg,
        )

    def _cue(self, leg: Leg) -> str | None:
        if leg.cue is None:
            return None
        if self.direction == "return" and self.route.back:
            return leg.cue.return_ or leg.cue.outbound
        return leg.cue.get(self.direction)

    def _leg_details(self, stretch: Stretch, level: Level) -> list[Markup]:
        leg = stretch.leg
        words: list[str] = []
        if stretch.noted != stretch.kind:
            words.append(
                tr("drafted as filtered and not yet confirmed, so counted as a back street")
                if is_doubted(leg)
                else tr("noted as filtered without what closes it, so counted as a back street")
            )
        elif stretch.kind == "filtered street" and leg.closed_by:
            words.append(tr("closed to through traffic by {what}", what=leg.closed_by))
        if leg.hours:
            words.append(_hours(leg, self.direction))
        if level.raised:
            words.append(tr("level raised: {why}", why=level.raised))
        surface = leg.surface and leg.surface.get(self.direction)
        if surface and surface != "smooth":
            words.append(tr("cobbles" if surface == "cobbles" else f"{surface} surface"))
        if leg.speed_limit:
            words.append(tr("limit {speed}", speed=leg.speed_limit.text))
        if leg.blocked and leg.blocked.get(self.direction) == "frequent":
            words.append(tr("lane often blocked"))
        if leg.parking and leg.parking.get(self.direction):
            words.append(tr("parked cars beside it"))
        words += [tr(wording.WALKERS[leg.walkers])] if leg.walkers else []
        words += [tr(wording.LIT[leg.lit])] if leg.lit and leg.lit != "yes" else []
        words += [tr(leg.company)] if leg.company else []
        words += [leg.edge] if leg.edge else []
        words += [leg.wet] if leg.wet else []
        words += [tr("steps")] if leg.steps else []
        details = [inline("; ".join(words))] if words else []
        return details + self._remarks(leg)

    def _crossing(self, met: MetCrossing) -> Row:
        crossing = met.crossing
        how = wording.MOVEMENTS.get(crossing.control) or wording.MOVEMENTS[crossing.movement]
        details = []
        if not crossing.is_ridden:
            details.append(
                escape(tr(wording.PUSH_OVER.get(crossing.control, "Get off and push over.")))
            )
        if met.wait_s is None:
            details.append(escape(tr("Wait not known.")))
        elif met.wait_s >= 5:
            stood = tr(
                "Wait about {seconds} s (as stood on the ride).", seconds=f"{met.wait_s:.0f}"
            )
            guess = tr("Wait about {seconds} s (estimated).", seconds=f"{met.wait_s:.0f}")
            details.append(escape(guess if crossing.wait is None else stood))
        if met.level.raised:
            details.append(inline(tr("level raised: {why}", why=met.level.raised)))
        if crossing.easier and (easier := crossing.easier.get(self.direction)):
            details.append(inline(tr("Easier: {how}", how=easier)))
        return Row(
            met.at_m,
            self._at(met.at_m),
            "busy crossing" if met.busy else "crossing",
            inline(tr(how, road=crossing.road)),
            kind=(tr("busy road, ") if met.busy else "")
            + tr(wording.CONTROL_WORDS[crossing.control]),
            level=tr(met.words) + (tr(" (assumed)") if met.level.assumed else ""),
            details=tuple(details + self._remarks(crossing)),
            control=crossing.control,
            word=crossing.road,
            film=self._film(crossing),
            item=crossing,
        )

    def _dismount(self, met: MetDismount) -> Row:
        note = met.dismount
        assert note is not None
        length = distance(note.metres, self.units) if note.metres else ""
        texts = wording.GET_OFF if met.counted else wording.MAY_GET_OFF
        off = tr(texts[bool(length)], length=length, why=note.why)
        details = []
        if note.without_getting_off:
            details.append(inline(tr("Without getting off: {how}", how=note.without_getting_off)))
        return Row(
            met.at_m,
            self._at(met.at_m),
            "dismount" if met.counted else "dismount not required",
            inline(off),
            kind=wording.MUST_WORDS[note.must] and tr(wording.MUST_WORDS[note.must]),
            details=tuple(details + self._remarks(note)),
            film=self._film(note),
            item=note,
        )

    def _hazard(self, placed: Placed[Hazard]) -> Row:
        hazard = placed.item
        look = tr("Look out: {what}", what=hazard.what)
        if placed.to_m > placed.at_m:
            end = self._at(placed.to_m)
            look = tr("Look out: {what} up to {chainage}", what=hazard.what, chainage=end)
        return Row(
            placed.at_m,
            self._at(placed.at_m),
            "hazard",
            inline(look),
            kind=tr("serious") if hazard.severity == "serious" else "",
            details=tuple(self._remarks(hazard)),
            word=hazard.what,
            film=self._film(hazard),
            to_m=placed.to_m if placed.to_m > placed.at_m else None,
            item=hazard,
        )

    def _barrier(self, placed: Placed[Barrier]) -> Row:
        barrier = placed.item
        words = (
            [tr("gap {width}", width=small(barrier.gap, self.units))]
            if barrier.gap is not None
            else []
        )
        words += [tr("turn: {turn}", turn=barrier.turn)] if barrier.turn else []
        words += (
            [tr("kerb {height} cm", height=f"{barrier.kerb * 100:.0f}")] if barrier.kerb else []
        )
        words += [tr("you must lift the cycle")] if barrier.lift else []
        words += [tr("steps")] if barrier.steps else []
        details = (
            [inline(tr("Way round: {how}", how=barrier.way_round))] if barrier.way_round else []
        )
        return Row(
            placed.at_m,
            self._at(placed.at_m),
            "barrier",
            inline(tr("Barrier: {what}", what=barrier.what)),
            kind=", ".join(words),
            details=tuple(details + self._remarks(barrier)),
            word=barrier.what,
            film=self._film(barrier),
            item=barrier,
        )

    def _landmark(self, placed: Placed[Landmark]) -> Row:
        landmark = placed.item
        side: str = landmark.side or ""
        if self.turned:
            side = wording.SIDES_TURNED.get(side, "")
        details = [inline(landmark.story)] if landmark.story else []
        return Row(
            placed.at_m,
            self._at(placed.at_m),
            "landmark",
            inline(landmark.what),
            kind=wording.SIDES[side] and tr(wording.SIDES[side]),
            details=tuple(details + self._remarks(landmark)),
            word=landmark.what,
            film=self._film(landmark),
            item=landmark,
        )

    def _sign(self, at_m: float, text: str, item: Item, to_m: float | None = None) -> Row:
        return Row(at_m, self._at(at_m), "sign", inline(text), to_m=to_m, item=item)

    def _remarks(self, item: Item) -> list[Markup]:
        """The hours, the note, and where it comes from unless the author saw it."""
        found = []
        if hours := getattr(item, "hours", None):
            found += self._only_at(hours, is_counted=isinstance(item, Crossing | Dismount))
        if item.note and (note := item.note.get(self.direction)):
            found.append(inline(note))
        source = source_in(item, self.direction, is_ridden=self.is_ridden)
        words = [tr(wording.SOURCE_WORDS[source])] if source != "ridden" else []
        if item.confidence and wording.CONFIDENCE_WORDS[item.confidence]:
            words.append(tr(wording.CONFIDENCE_WORDS[item.confidence]))
        if words and (self.is_ridden or item.confidence or source in ("reported", "said")):
            found.append(Markup("<em>{}</em>").format(f"{', '.join(words)}."))
        return found

    def _film(self, item: Item) -> OnFilm | None:
        """Where it is on film; turned round, the outbound ride's film shows nothing of the way."""
        if item.film is None or (self.turned and getattr(item, "direction", "both") != "return"):
            return None
        return on_film(self.route.notes.video, item.film)

    def _only_at(self, hours: str | object, *, is_counted: bool) -> list[Markup]:
        """When something is there that is not always there; a leg's hours are told elsewhere."""
        if not isinstance(hours, str):
            return []
        when = wording.hours_words(hours)
        if is_counted and hours not in self.state.open:
            return [escape(tr("Only {hours}: not in these figures.", hours=when))]
        return [escape(tr("Only {hours}.", hours=when))]

    def _at(self, metres: float) -> str:
        return chainage(metres, self.units)


def _hours(leg: Leg, direction: Direction) -> str:
    parts = []
    for expression, kinds in (leg.hours or {}).items():
        kind = tr(kinds.get(direction) or "")
        if expression == OTHERWISE:
            parts.append(tr("otherwise {kind}", kind=kind))
        else:
            when = wording.hours_words(expression)
            parts.append(tr("{when}: {kind}", when=when, kind=kind))
    return "; ".join(parts)
