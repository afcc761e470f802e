"""Writes the doings of the invented seasons down as bare entries, without phones, stores or a server.

Two hundred seasons lived through on real phones would take two hours: each of the thousands of touches is made
durable on its own, and every visit begins by reading what the phone knows. Here the same doings become the same
records in a tenth of a second, fruit as numbers at once. That both ways come to one report is checked for the first seed.
"""

from __future__ import annotations

from collections import Counter
from functools import singledispatchmethod
from typing import Any

from demo import doings
from demo.place import GARDENS, PHONES
from demo.season import InventedSeasons
from shared_models.entries import Entry
from tests.builders import FieldPhone


def entries_of(seasons: InventedSeasons) -> list[Entry]:
    """The entries that these seasons come to."""
    recorder = PlainRecorder()
    for doing in seasons.doings:
        recorder.write(doing)
    return recorder.entries


class PlainRecorder:
    """Knows what every phone knows, at once; trees that two phones made stay two records."""

    def __init__(self) -> None:
        self.entries: list[Entry] = []
        self._phones = {name: FieldPhone(zone=phone.zone) for name, phone in PHONES.items()}
        self._gardens: dict[str, Entry] = {}
        self._trees: dict[tuple[str, str], Entry] = {}
        self._traps: dict[str, Entry] = {}
        self._helpers: dict[str, Entry] = {}
        self._last_counts: dict[str, list[Entry]] = {}
        self._named: dict[str, Entry] = {}
        for name, phone in self._phones.items():
            self._keep(phone.person(PHONES[name].person))

    @singledispatchmethod
    def write(self, doing: doings.Doing) -> None:
        """Write one doing down."""
        raise TypeError(f"Nobody said how to write down {type(doing).__name__}.")

    @write.register
    def _(self, doing: doings.NameGarden) -> None:
        garden = GARDENS[doing.garden]
        self._gardens[doing.garden] = self._keep(self._at(doing).garden(garden.name, garden.hemisphere))

    @write.register
    def _(self, doing: doings.AddHelper) -> None:
        self._helpers[doing.name] = self._keep(self._at(doing).person(doing.name))

    @write.register
    def _(self, doing: doings.AddRow) -> None:
        phone = self._at(doing)
        for number in range(doing.first, doing.first + doing.count):
            label = f"{doing.prefix}{number}"
            tree = self._keep(phone.tree(self._gardens[doing.garden], label))
            self._keep(phone.graft(tree, doing.cultivar))
            self._trees[doing.phone, f"{doing.garden}/{label}"] = tree

    @write.register
    def _(self, doing: doings.HangTrap) -> None:
        phone = self._at(doing)
        trap = self._keep(phone.trap(self._gardens[doing.garden], doing.trap))
        hung = {"trap": trap.rec, "garden": self._gardens[doing.garden].rec}
        self._keep(phone.makes("placement", {**hung, "from_day": doing.moment.date().isoformat()}))
        self._traps[f"{doing.garden}/{doing.trap}"] = trap

    @write.register
    def _(self, doing: doings.NameContrast) -> None:
        said = {"season": doing.season, "with_method": doing.with_method, **self._told(doing)}
        self._keep(self._at(doing).makes("planned_contrast", said))

    @write.register
    def _(self, doing: doings.DeclareUntreated) -> None:
        for tree in doing.trees:
            season = GARDENS[tree.split("/")[0]].season
            self._keep(self._at(doing).untreated(self._tree(doing, tree), season, **self._told(doing)))

    @write.register
    def _(self, doing: doings.LeaveOut) -> None:
        season = GARDENS[doing.tree.split("/")[0]].season
        said = {"tree": self._tree(doing, doing.tree).rec, "season": season, "reason": doing.reason}
        self._keep(self._at(doing).makes("left_out", {**said, **self._told(doing)}))

    @write.register
    def _(self, doing: doings.Treat) -> None:
        products = [{"name": doing.product}] if doing.product else []
        trees = [self._tree(doing, tree) for tree in doing.trees]
        job = self._at(doing).job(
            doing.method, *trees, minutes=doing.minutes, products=products, **self._told(doing)
        )
        self._named[doing.name or ""] = self._keep(job)

    @write.register
    def _(self, doing: doings.TakeBack) -> None:
        self._keep(self._at(doing).undoes(self._named[doing.name]))

    @write.register
    def _(self, doing: doings.PutBagsOn) -> None:
        tree = self._tree(doing, doing.tree)
        said = {"took": doing.took, "left": doing.left, **self._told(doing)}
        self._keep(self._at(doing).visit(tree, "bagging", **said))

    @write.register
    def _(self, doing: doings.CountTrap) -> None:
        before = self._last_counts.setdefault(doing.trap, [])
        known = before[:-1] if doing.double else before
        previous = {"previous": known[-1].rec} if known else {}
        how = {"mode": "on_liner" if doing.on_liner else "new", "emptied": doing.emptied, **previous}
        state = {} if doing.state == "counted" else {"state": doing.state}
        trap, phone = self._traps[doing.trap], self._at(doing)
        moths = doing.moths if doing.state == "counted" else None
        before.append(self._keep(phone.trap_visit(trap, moths, **how, **state, **self._told(doing))))

    @write.register
    def _(self, doing: doings.LookForDrops) -> None:
        phone = self._at(doing)
        nothing = {} if doing.found else {"nothing_found": True}
        visit = self._keep(
            phone.visit(self._tree(doing, doing.tree), "drops", **nothing, **self._told(doing))
        )
        for one in doing.found:
            mark = "damaged" if one.damaged else "clean"
            low, high = one.number.low, one.number.high
            said: dict[str, Any] = {"n": low} if low == high else {"low": low, "high": high}
            certainty = "estimated" if one.number.estimated else "exact"
            fields = {"visit": visit.rec, "marks": [mark], "source": "drop", "cover": one.cover, **said}
            self._keep(phone.makes("number", {**fields, "certainty": certainty}))

    @write.register
    def _(self, doing: doings.Score) -> None:
        phone, tree = self._at(doing), self._tree(doing, doing.tree)
        pick = self._keep(self._pick(doing, phone, tree))
        visit = self._keep(phone.visit(tree, "picking", pick=pick.rec, **self._told(doing)))
        self._named[doing.name or ""] = visit
        for mark, count in sorted(Counter(doing.scores).items()):
            self._keep(phone.number(visit, count, mark, cover=doing.cover))

    @write.register
    def _(self, doing: doings.CorrectLater) -> None:
        visit = self._named[doing.score]
        self._keep(self._at(doing).adjustment(visit, doing.difference, doing.what, reason=doing.reason))

    @write.register
    def _(self, doing: doings.SaySameTree) -> None:
        one, other = (self._trees[phone, doing.tree] for phone in doing.made_on)
        self._keep(self._at(doing).same_tree(one, other))

    @write.register
    def _(self, doing: doings.Share) -> None:
        pass  # here everybody knows everything already

    def _pick(self, doing: doings.Score, phone: FieldPhone, tree: Entry) -> Entry:
        picked = doing.picked
        said = {"total": picked.total, "weight_kg": picked.weight_kg, "fruit_per_kg": picked.fruit_per_kg}
        told = {name: value for name, value in said.items() if value is not None}
        all_scored = {"all_scored": "yes"} if picked.all_scored else {}
        return phone.pick(tree, cover=doing.cover, **told, **all_scored, **self._told(doing))

    def _at(self, doing: doings.Doing) -> FieldPhone:
        phone = self._phones[doing.phone]
        phone.wall = doing.moment
        return phone

    def _told(self, doing: doings.Doing) -> dict[str, str]:
        """When it was and who did it."""
        when = doing.told_day or doing.moment
        helper = {"done_by": self._helpers[doing.helper].rec} if doing.helper else {}
        return {"when": when.isoformat(), **helper}

    def _tree(self, doing: doings.Doing, name: str) -> Entry:
        """The tree as this phone knows it: its own record of it, else somebody's."""
        own = self._trees.get((doing.phone, name))
        return own or next(tree for (_, known), tree in self._trees.items() if known == name)

    def _keep(self, entry: Entry) -> Entry:
        self.entries.append(entry)
        return entry
