"""What a ride and its film tell besides the line: stops, pressed buttons, remarks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from softpedal.draft.captions import read_captions
from softpedal.draft.cleaning import stops_of
from softpedal.draft.film_points import FilmError, parse_cuts, parse_film, parse_sync, place_typed
from softpedal.draft.film_proposals import proposals, unfit_names
from softpedal.draft.film_sync import place_suggestions, sync
from softpedal.draft.observed import Observed
from softpedal.draft.phrase_table import load_phrases
from softpedal.draft.pressed import marks_on
from softpedal.draft.remarks import suggestions
from softpedal.draft.sentences import sentences
from softpedal.draft.written import metres_of
from softpedal.library.plain_text import counted

if TYPE_CHECKING:
    from pathlib import Path

    from softpedal.draft.drafting import Draft
    from softpedal.draft.film_proposals import Proposal
    from softpedal.draft.film_sync import FilmSync
    from softpedal.draft.ride import Ride
    from softpedal.draft.sentences import Sentence
    from softpedal.settings import Settings


#: So many spoken street names far from their streets, and such a share of all, make one doubt.
MISFITS, MISFIT_SHARE = 2, 0.25


@dataclass(frozen=True, slots=True)
class Talk:
    """The film of a ride, as its author gives it.

    Attributes:
        captions: WebVTT or SRT; None where there is a film without.
        sync: points known on both film and line, as typed.
        cuts: seconds of the film at which something was left out, as typed.
        phrases: a language, or a file of one's own.
    """

    captions: Path | None = None
    sync: tuple[str, ...] = ()
    cuts: tuple[str, ...] = ()
    phrases: str = "en"


@dataclass(frozen=True, slots=True)
class Narration:
    """What was found.

    Attributes:
        observed: all of it, at its places along the line.
        said: the sentences of the film.
        film: where each second of the film lies; None without a film.
        remarks: what an author must know of it, in words.
    """

    observed: Observed
    said: tuple[Sentence, ...] = ()
    film: FilmSync | None = None
    remarks: tuple[str, ...] = ()

    def proposals(self, draft: Draft) -> tuple[Proposal, ...]:
        """Return points at which film and line could be tied together better."""
        if self.film is None:
            return ()
        return proposals(self.said, _legs(draft), draft.track, self.film)

    def doubt(self, draft: Draft) -> str:
        """Return a warning if the street names spoken do not fit the sync, else ""."""
        if self.film is None:
            return ""
        far, named = unfit_names(self.said, _legs(draft), draft.track.length_m, self.film)
        if far < MISFITS or far < MISFIT_SHARE * named:
            return ""
        return (
            f"{far} of {named} sentences that name a street of the line lie far from it: a --sync "
            "is wrong, or the film has cuts that no --sync or --cut tells"
        )

    def place(self, text: str, ride: Ride, settings: Settings) -> float:
        """Return the chainage of a position as an author types it, metres.

        Beside those of the notes, `video 4:10` and times of day are positions here.

        Raises:
            FilmError: it lies off the line, or is none.
        """
        if not text.startswith("video"):
            return place_typed(text, ride, settings)
        second = parse_film(text.removeprefix("video"))
        found = self.film.place(second) if self.film else None
        if found is None:
            if self.film is None:
                raise FilmError(f"`{text}` needs the film tied to the line.", "Give a --sync.")
            raise FilmError(
                f"`{text}` is before or after the line in the film, or where the line was cut.",
                "Take the note out, or look at --sync again.",
            )
        return found[0]


def _legs(draft: Draft) -> list[tuple[float, str]]:
    length_m = draft.track.length_m
    return [(metres_of(leg["from"], length_m), leg["street"]) for leg in draft.items["legs"]]


def narrated(ride: Ride, talk: Talk | None, settings: Settings) -> Narration:
    """Return what a ride tells, with its film if it has one.

    Raises:
        CannotDoError: captions, phrases or points cannot be read, or do not fit the ride.
    """
    marks, remarks = marks_on(ride.track, ride.waypoints)
    observed = Observed(stops_of(ride), marks)
    if talk is None:
        return Narration(observed, remarks=tuple(remarks))
    points = parse_sync(talk.sync, ride, settings)
    said = sentences(read_captions(talk.captions)) if talk.captions else ()
    end_s = said[-1].end_s if said else None
    film = sync(ride, points, parse_cuts(talk.cuts), end_s)
    suggested = suggestions(said, load_phrases(talk.phrases)) if said else ()
    placed = place_suggestions(film, suggested)
    remarks += film.remarks
    if said:
        told = f"{counted(len(said), 'sentence')} of the film, {counted(len(placed), 'suggestion')}"
        if off := len(suggested) - len(placed):
            told += f"; {counted(off, 'suggestion')} left out: said where the published line is not"
        remarks.append(told)
    observed = replace(observed, remarks=placed, film=film.knots())
    return Narration(observed, said, film, tuple(remarks))
