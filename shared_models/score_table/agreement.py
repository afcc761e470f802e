"""What several lines say of one tree or method must agree: among themselves, and with what was recorded by hand.

What an earlier table said may be said anew: that is a correction.
"""

from collections.abc import Iterator

from shared_models.language import say
from shared_models.records.gardens import Graft
from shared_models.records.methods import OwnMethod
from shared_models.score_table import records as made
from shared_models.score_table.ground import DoesNotFit, Records
from shared_models.score_table.reading import ScoreRow
from shared_models.score_table.records import TreeInTable, WantedRecord
from shared_models.vocabulary import BAGGING, METHODS, Reach


def check_treatment(row: ScoreRow, tree: TreeInTable) -> None:
    """DoesNotFit where another line gives the tree other methods; bagging alone may differ from line to line."""
    for other in tree.rows:
        told, before = _treatment(row), _treatment(other)
        if told is not None and before is not None and told != before:
            raise DoesNotFit(
                "methods",
                say(
                    "Tree “{tree}” has other methods on line {line}; a tree is one unit.",
                    tree=row.tree,
                    line=other.line,
                ),
            )
        if (
            None not in (row.declared_before, other.declared_before)
            and row.declared_before != other.declared_before
        ):
            raise _contradicts("declared_before", _spoken(row), _spoken(other), other.line)


def _treatment(row: ScoreRow) -> frozenset[str] | str | None:
    if row.methods is None:
        return None
    return frozenset(row.methods) - {BAGGING} if row.methods else "untreated"


def _spoken(row: ScoreRow) -> str:
    return say("yes") if row.declared_before else say("no")


def _contradicts(column: str, said: str, before: str, line: int) -> DoesNotFit:
    sentence = say(
        "“{column}” is “{said}” here and “{before}” on line {line}.",
        column=column,
        said=said,
        before=before,
        line=line,
    )
    return DoesNotFit(column, sentence)


class Cultivars:
    """The cultivar of each tree."""

    def __init__(self, records: Records) -> None:
        self._said: dict[str, ScoreRow] = {}
        self._grafts: dict[str, list[Graft]] = {}
        for graft in records.all(Graft):
            self._grafts.setdefault(graft.tree, []).append(graft)

    def note(self, row: ScoreRow, tree: str) -> WantedRecord | None:
        """The graft that a line makes, if any."""
        if row.cultivar is None:
            return None
        said = self._said.setdefault(tree, row)
        if said.cultivar != row.cultivar:
            raise _contradicts("cultivar", row.cultivar, said.cultivar or "", said.line)
        by_hand = {graft.cultivar for graft in self._grafts.get(tree, []) if not _from_table(graft)}
        if by_hand and row.cultivar not in by_hand:
            raise DoesNotFit(
                "cultivar",
                say(
                    "The cultivar of this tree is recorded as “{recorded}”; the table says “{said}”.",
                    recorded=", ".join(sorted(by_hand)),
                    said=row.cultivar,
                ),
            )
        return None if by_hand else made.graft(tree, row.cultivar)

    def stale(self) -> Iterator[Graft]:
        """Cultivars that an earlier table gave a tree and this one corrects."""
        for tree, row in self._said.items():
            for graft in self._grafts.get(tree, []):
                if _from_table(graft) and graft.cultivar != row.cultivar:
                    yield graft


def _from_table(graft: Graft) -> bool:
    return graft.rec == made.graft_id(graft.tree, graft.cultivar)


class Methods:
    """The methods that the lines name; one that nobody knows becomes the group's own."""

    def __init__(self, records: Records) -> None:
        self._own = {one.key: one for one in records.all(OwnMethod)}
        self._said: dict[str, ScoreRow] = {}

    def note(self, row: ScoreRow) -> list[WantedRecord]:
        """The own methods that a line makes or changes."""
        words = row.methods or {}
        fixed = {key: self._fixed_reach(key) for key in words}
        if row.reach is not None:
            self._check_reach(row, row.reach, fixed)
        unknown = [key for key in words if fixed[key] is None]
        wanted = (self._wanted(key, words[key], self._said.get(key)) for key in unknown)
        return [record for record in wanted if record]

    def _wanted(self, key: str, word: str, said: ScoreRow | None) -> WantedRecord | None:
        if key not in self._own:
            return made.own_method(key, word, said.reach if said else None)
        return made.other_reach(key, said.reach) if said and said.reach else None

    def _check_reach(self, row: ScoreRow, reach: Reach, fixed: dict[str, Reach | None]) -> None:
        """The reach on a line is that of the methods which nobody knows; of known ones it may only say the same."""
        for key, known in fixed.items():
            if known is None:
                said = self._said.setdefault(key, row)
                if said.reach is not reach:
                    raise _contradicts("reach", reach, said.reach or "", said.line)
            elif known is not reach and None not in fixed.values():
                raise DoesNotFit(
                    "reach",
                    say(
                        "The reach of “{method}” is known as {known}; the table says {said}.",
                        method=key,
                        known=known,
                        said=reach,
                    ),
                )

    def _fixed_reach(self, key: str) -> Reach | None:
        """The reach of a method that is known or was named by hand; None for those that a table names."""
        own = self._own.get(key)
        if own is not None and own.rec != made.method_id(key):
            return own.reach
        return METHODS[key].reach if key in METHODS else None
