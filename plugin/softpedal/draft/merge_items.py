"""One list of the notes, drafted again: crossings, dismounts, hazards and the like."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Any

from softpedal.draft.changes import Change, place_of
from softpedal.draft.item_pairs import chainages_m, paired, same
from softpedal.draft.notes_edit import COORDINATES, Edit
from softpedal.library.note_values import DRAFTED

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from softpedal.draft.item_pairs import Item
    from softpedal.library.yaml_source import Path

#: What a draft says of itself: no news for an author who has confirmed the item.
_ABOUT_THE_DRAFT = ("source", "confidence", "evidence")

_NEW, _SAID = "the map has it now", "the ride tells of it now"
_GONE, _UNSAID = "the map has it no more", "the ride tells of it no more"
_STILL, _STILL_SAID = "the map still has it", "the ride still tells of it"
_FOLLOWS = "nobody has touched it since it was drafted"
_OWN = "you wrote or confirmed it"
_OUT = "you took it out"


def is_list_of_items(value: Any) -> bool:
    """Whether a value is a list of mappings."""
    return isinstance(value, list) and all(isinstance(item, dict) for item in value)


def is_draft(item: Item) -> bool:
    """Whether an item says of itself that nobody has seen it yet."""
    source = item.get("source", "ridden")
    if isinstance(source, dict):
        return bool(source) and all(word in DRAFTED for word in source.values())
    return source in DRAFTED


def _is_said(item: Item) -> bool:
    return bool(item.get("source") == "said")


def _gone(item: Item) -> str:
    return _UNSAID if _is_said(item) else _GONE


def under(path: Path, comments: Mapping[Path, str]) -> dict[Path, str]:
    """Return the comments of a value and what is inside it, by the path inside it."""
    length = len(path)
    return {p[length:]: text for p, text in comments.items() if p[:length] == path}


class ListMerge:
    """Merges one list; `edits` and `changes` are there after `run`.

    Args:
        path: of the list in the notes.
        lists: the items drafted last, those that the author has, and those drafted now.
        remarks: the comments inside each item of the author's.
        comments: those of the new draft, by path.
        chainage_of: places a position's text, in metres.
    """

    def __init__(
        self,
        path: Path,
        lists: Sequence[list[Item]],
        remarks: Sequence[Sequence[str]],
        comments: Mapping[Path, str],
        chainage_of: Callable[[str], float | None],
    ) -> None:
        self.base, self.mine, self.theirs = base, mine, theirs = lists
        self.path, self.comments = path, comments
        self.name = name = str(path[-1])
        self.prefix = "".join(f"{part}: " for part in path[:-1])
        self.edits: list[Edit] = []
        self.changes: list[Change] = []
        self.base_m, self.mine_m, self.theirs_m = (
            chainages_m(name, items, chainage_of) for items in (base, mine, theirs)
        )
        to_mine = paired(name, base, mine, self.base_m, self.mine_m, renamed=True)
        #: for each of base, where it is in theirs
        self.now = paired(name, base, theirs, self.base_m, self.theirs_m)
        #: for each of mine, where it was in base
        self.origin = {i: k for k, i in to_mine.items()}
        self.taken_out = [k for k in range(len(base)) if k not in to_mine]
        self.free = [self._is_free(i, remarks[i]) for i in range(len(mine))]
        #: for each of theirs, which of mine it is
        self.own = {self.now[k]: i for i, k in self.origin.items() if k in self.now}
        self._pair_additions()

    def _is_free(self, index: int, remarks: Sequence[str]) -> bool:
        """Whether an item is as it was drafted, and nobody has said a word on it."""
        item = self.mine[index]
        drafted = {*self.comments.values()}
        return (
            index in self.origin
            and same(item, self.base[self.origin[index]])
            and is_draft(item)
            and all(COORDINATES.fullmatch(text) or text in drafted for text in remarks)
        )

    def _pair_additions(self) -> None:
        """Find what the author had added before the map had it."""
        added = [i for i in range(len(self.mine)) if i not in self.origin]
        known = {*self.now.values()}
        new = [j for j in range(len(self.theirs)) if j not in known]
        pairs = paired(
            self.name,
            [self.mine[i] for i in added],
            [self.theirs[j] for j in new],
            [self.mine_m[i] for i in added],
            [self.theirs_m[j] for j in new],
        )
        self.own |= {new[j]: added[i] for i, j in pairs.items()}

    def run(self) -> None:
        """Work out the edits and the changes."""
        there = {i: j for j, i in self.own.items()}
        for i, item in enumerate(self.mine):
            if not self.free[i]:
                self.list_kept(i, there.get(i))
            elif i in there:
                self.follow(i, self.theirs[there[i]], (*self.path, there[i]))
            else:
                self.remove(i, item)
        self.list_taken_out()
        out = {self.now[k] for k in self.taken_out if k in self.now}
        for j, item in enumerate(self.theirs):
            if j not in self.own and j not in out:
                self.insert(self._index_for(j), item, j)

    # -- what is done with an item ---------------------------------------------------------------

    def follow(self, i: int, new: Item, new_path: Path) -> None:
        """Give an item that nobody touched the values of the new draft."""
        old, path = self.mine[i], (*self.path, i)
        place = self.place(old)
        for key in old:
            if key not in new:
                self.edits.append(Edit("remove", (*path, key)))
                self.changes.append(Change("changed", place, key, old[key], None, _FOLLOWS))
            elif not same(old[key], new[key]):
                comment = under((*new_path, key), self.comments)
                self.edits.append(Edit("set", (*path, key), new[key], comments=comment))
                self.changes.append(Change("changed", place, key, old[key], new[key], _FOLLOWS))
        after: str | None = None
        for key, value in new.items():
            if key in old:
                after = key
                continue
            comment = under((*new_path, key), self.comments)
            self.edits.append(Edit("add", (*path, key), value, after, comment))
            self.changes.append(Change("changed", place, key, None, value, _FOLLOWS))

    def remove(self, i: int, item: Item) -> None:
        """Take out an item that nobody touched and that the map has no more."""
        self.edits.append(Edit("remove", (*self.path, i)))
        self.changes.append(Change("removed", self.place(item), "", item, None, _gone(item)))

    def insert(self, index: int, item: Item, j: int) -> None:
        """Put in an item of the new draft, before this index of the author's."""
        item = item if "source" in item else item | {"source": "map"}
        comments = {
            path: text
            for path, text in under((*self.path, j), self.comments).items()
            if not path or same(item.get(str(path[0])), self.theirs[j].get(str(path[0])))
        }
        new = _SAID if _is_said(item) else _NEW
        self.edits.append(Edit("insert", (*self.path, index), item, comments=comments))
        self.changes.append(Change("added", self.place(item), "", None, item, new))

    def list_kept(self, i: int, j: int | None) -> None:
        """List what the map now says otherwise of an item that stays as it is."""
        item, place = self.mine[i], self.place(self.mine[i])
        k = self.origin.get(i)
        if j is None:
            if k is not None:
                why = f"{_gone(self.base[k])}, but {_OWN}"
                self.changes.append(Change("kept", place, "", item, None, why))
            return
        new = self.theirs[j]
        old = self.base[k] if k is not None else {}
        for key in dict.fromkeys([*new, *old]):
            mine, now = item.get(key), new.get(key)
            news = not same(now, old.get(key)) if k is not None else key in item
            if news and not same(now, mine) and key not in _ABOUT_THE_DRAFT:
                self.changes.append(Change("kept", place, key, mine, now, _OWN))

    def list_taken_out(self) -> None:
        """List what the author took out and the map still has."""
        for k in self.taken_out:
            if k in self.now:
                item = self.theirs[self.now[k]]
                still = _STILL_SAID if _is_said(item) else _STILL
                why = f"{still}, but {_OUT}"
                self.changes.append(Change("kept", self.place(item), "", None, item, why))

    def place(self, item: Item) -> str:
        """Return where an item is, in words."""
        return place_of(self.name, item, self.prefix)

    def _index_for(self, j: int) -> int:
        """Return the index in mine before which an item of theirs is put."""
        low = next((self.own[n] + 1 for n in range(j - 1, -1, -1) if n in self.own), 0)
        later = (self.own[n] for n in range(j + 1, len(self.theirs)) if n in self.own)
        high = next(later, len(self.mine))
        if low > high:  # the author has put the list in an order of their own
            low, high = 0, len(self.mine)
        at_m = self.theirs_m[j]
        beyond = (i for i in range(low, high) if self.mine_m[i] > at_m)
        return high if math.isnan(at_m) else next(beyond, high)
