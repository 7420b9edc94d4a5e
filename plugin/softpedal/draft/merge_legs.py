"""The legs, drafted again: what a person said of a stretch holds on all of that stretch.

A leg has no end of its own, it runs to where the next one starts. So the line is cut into the
stretches of legs that a person wrote or confirmed, which stay, and the stretches between them,
each of which takes the legs that the new draft has there.
"""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING

from softpedal.draft.changes import Change
from softpedal.draft.item_pairs import same
from softpedal.draft.merge_items import ListMerge

if TYPE_CHECKING:
    from collections.abc import Sequence

    from softpedal.draft.item_pairs import Item

_INSIDE = "it would change what holds on a stretch that you wrote or confirmed"
_UNORDERED = "a leg has no place on the line, or stands out of order; mend that and draft again"
_BOUNDARY = "the leg before it is yours up to here"


class LegMerge(ListMerge):
    """Merges the legs."""

    def run(self) -> None:
        """Work out the edits and the changes."""
        known = [at for at in (self.base_m, self.mine_m, self.theirs_m) if at]
        for at in known:
            at[0] = 0.0  # wherever the first leg says, it begins at the start
        if not self.theirs or not all(_is_rising(at) for at in known):
            if not same(self.theirs, self.base):
                place = f"{self.prefix}legs"
                self.changes.append(
                    Change("kept", place, "legs", self.mine, self.theirs, _UNORDERED)
                )
            return
        if not self.mine:
            for j, leg in enumerate(self.theirs):
                self.insert(0, leg, j)
            return
        self._freeze_over_gaps()
        used: set[int] = set()
        for is_free, run in itertools.groupby(range(len(self.mine)), lambda i: self.free[i]):
            legs = list(run)
            if is_free:
                used |= self._stretch(legs[0], legs[-1])
        self._list_rest(used)

    def _freeze_over_gaps(self) -> None:
        """A leg that was made to run on, by taking out the one behind it, is the author's."""
        for k in self.taken_out:
            at_m = self.base_m[k]
            self.free[max(i for i, start in enumerate(self.mine_m) if start <= at_m)] = False

    def _stretch(self, first: int, last: int) -> set[int]:
        """Give a run of legs that nobody touched to the new draft; return which of its legs."""
        start_m = self.mine_m[first]
        end_m = self.mine_m[last + 1] if last + 1 < len(self.mine) else math.inf
        inside = [
            j
            for j, at_m in enumerate(self.theirs_m)
            if start_m < at_m < end_m and not self.own.get(j, -1) > last
        ]
        opening = self._opening(first, start_m)
        chosen = [opening, *(j for j in inside if j > opening)]
        counterpart = {j: self.own[j] for j in chosen if first <= self.own.get(j, -1) <= last}
        for i in range(first, last + 1):
            if i not in counterpart.values():
                self.remove(i, self.mine[i])
        for place, j in enumerate(chosen):
            leg = self.theirs[j]
            if place == 0 and first > 0:
                leg = leg | {"from": self.mine[first]["from"]}
            if j in counterpart:
                self.follow(counterpart[j], leg, (*self.path, j))
                if not same(leg, self.theirs[j]):
                    where, now = self.place(leg), self.theirs[j]["from"]
                    self._keep_boundary(where, leg["from"], now, self.base[self.origin[first]])
            else:
                later = (counterpart[n] for n in chosen[place:] if n in counterpart)
                self.insert(next(later, last + 1), leg, j)
        return set(chosen)

    def _opening(self, first: int, start_m: float) -> int:
        """Return which leg of the new draft holds at the beginning of a stretch."""
        covering = max(j for j, at_m in enumerate(self.theirs_m) if at_m <= start_m)
        following = covering + 1
        if first > 0 and self.own.get(following) == first:
            return following  # the same leg, a few metres on: what lies between is no leg
        return covering

    def _keep_boundary(self, place: str, was: str, now: str, base: Item) -> None:
        if not same(now, base["from"]):
            self.changes.append(Change("kept", place, "from", was, now, _BOUNDARY))

    def _list_rest(self, used: set[int]) -> None:
        there = {i: j for j, i in self.own.items()}
        for i in range(len(self.mine)):
            if not self.free[i]:
                self.list_kept(i, there.get(i))
        self.list_taken_out()
        known = {*self.now.values(), *self.own}
        for j, leg in enumerate(self.theirs):
            if j not in used and j not in known:
                self.changes.append(Change("kept", self.place(leg), "", None, leg, _INSIDE))


def _is_rising(at_m: Sequence[float]) -> bool:
    """Whether chainages are known and each is greater than the one before."""
    return all(a < b for a, b in itertools.pairwise([-1.0, *at_m]))
