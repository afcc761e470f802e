"""Acts the doings out on real phones, through the same workflows that the screens call. Knows no server and no report.

A phone only names what it knows: a tree that was never shared with it cannot be scored on it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping
from functools import singledispatchmethod

from demo import doings
from demo.lived_phone import LivedPhone
from demo.place import GARDENS
from mobile.storage.phone_store import PhoneStore
from mobile.workflows import corrections, first_start, job, people, spray, traps, tree_plans, trees
from mobile.workflows.bagging import BaggingRound
from mobile.workflows.drops_round import DropsVisit
from mobile.workflows.moments import NOW, Told, on_day
from mobile.workflows.picking import PickingVisit
from mobile.workflows.tally import BAG_ON, BARE, WHOLE, Amount, Part
from mobile.workflows.trap_round import TrapRound
from shared_models.records.gardens import Tree
from shared_models.seasons import Hemisphere
from shared_models.vocabulary import SPRAYS, AllScored, CountMode, Fruit, Source, TrapState

PARTS: dict[str, Part] = {"none": WHOLE, "bagged": BAG_ON, "bare": BARE}
SECONDS_A_FRUIT = 4


class Recording:
    """Everybody at work: `do` acts out one doing on the phone that it names; `share` is what sharing means here."""

    def __init__(self, phones: Mapping[str, LivedPhone], share: Callable[[LivedPhone], None]) -> None:
        self._phones = phones
        self._share = share
        self._gardens: dict[str, str] = {}
        self._trees: dict[tuple[str, str], str] = {}
        self._traps: dict[str, str] = {}
        self._helpers: dict[str, str] = {}
        self._named: dict[str, str] = {}
        self.cautions: tuple[str, ...] = ()

    def do(self, doing: doings.Doing) -> None:
        """Act one doing out at its moment."""
        phone = self._phones[doing.phone]
        phone.set_clock(doing.moment)
        self._act(doing, phone)

    @singledispatchmethod
    def _act(self, doing: doings.Doing, phone: LivedPhone) -> None:
        raise TypeError(f"Nobody said how to act out {type(doing).__name__}.")

    # -- what stands there
    @_act.register
    def _(self, doing: doings.NameGarden, phone: LivedPhone) -> None:
        garden = GARDENS[doing.garden]
        named = first_start.name_garden(
            phone.store, garden.name, Hemisphere(garden.hemisphere), zone=garden.zone, note=garden.note
        )
        self._gardens[doing.garden] = named.garden

    @_act.register
    def _(self, doing: doings.AddHelper, phone: LivedPhone) -> None:
        self._helpers[doing.name] = people.add_person(phone.store, doing.name)

    @_act.register
    def _(self, doing: doings.AddRow, phone: LivedPhone) -> None:
        added = trees.add_row(
            phone.store,
            self._gardens[doing.garden],
            doing.count,
            prefix=doing.prefix,
            first=doing.first,
            cultivar=doing.cultivar,
        )
        for number, tree in enumerate(added.trees, start=doing.first):
            self._trees[phone.name, f"{doing.garden}/{doing.prefix}{number}"] = tree

    @_act.register
    def _(self, doing: doings.HangTrap, phone: LivedPhone) -> None:
        hung = traps.hang_trap(phone.store, doing.trap, self._gardens[doing.garden])
        self._traps[f"{doing.garden}/{doing.trap}"] = hung.trap

    @_act.register
    def _(self, doing: doings.SaySameTree, phone: LivedPhone) -> None:
        one, other = (self._trees[made_on, doing.tree] for made_on in doing.made_on)
        trees.say_same(phone.store, one, other)

    # -- what is said about whole trees
    @_act.register
    def _(self, doing: doings.NameContrast, phone: LivedPhone) -> None:
        tree_plans.plan_contrast(phone.store, doing.season, with_method=doing.with_method)

    @_act.register
    def _(self, doing: doings.DeclareUntreated, phone: LivedPhone) -> None:
        tree_plans.declare_untreated(phone.store, self._known(phone, *doing.trees))

    @_act.register
    def _(self, doing: doings.LeaveOut, phone: LivedPhone) -> None:
        tree_plans.leave_out(phone.store, self._known_tree(phone, doing.tree), doing.reason)

    # -- work
    @_act.register
    def _(self, doing: doings.Treat, phone: LivedPhone) -> None:
        on, told = self._known(phone, *doing.trees), self._told(doing, phone.store)
        if doing.method in SPRAYS:
            label = spray.FromLabel(doing.product or "")
            said = spray.SprayTold(doing.method, [label], on, minutes=doing.minutes, told=told)
            done = spray.record_spray(phone.store, said)
            self.cautions = self.cautions or done.cautions
            made = done.job
        else:
            made = job.record_job(phone.store, doing.method, trees=on, minutes=doing.minutes, told=told).job
        if doing.name:
            self._named[doing.name] = made

    @_act.register
    def _(self, doing: doings.TakeBack, phone: LivedPhone) -> None:
        corrections.undo(phone.store, self._named[doing.name])

    @_act.register
    def _(self, doing: doings.PutBagsOn, phone: LivedPhone) -> None:
        tree = self._known_tree(phone, doing.tree)
        visit = BaggingRound(phone.store).open(tree, self._helper(doing))
        visit.took(doing.took)
        phone.let_pass(1200)
        visit.left(doing.left)
        visit.done()

    @_act.register
    def _(self, doing: doings.CountTrap, phone: LivedPhone) -> None:
        at_hand = TrapRound(phone.store).open(self._traps[doing.trap])
        if doing.state != "counted":
            at_hand.not_counted(TrapState(doing.state))
        else:
            at_hand.count_as(CountMode.ON_LINER if doing.on_liner else CountMode.NEW)
            at_hand.number(doing.moths)
        if doing.emptied:
            at_hand.emptied()
        at_hand.done()

    # -- fruit
    @_act.register
    def _(self, doing: doings.LookForDrops, phone: LivedPhone) -> None:
        tree = self._known_tree(phone, doing.tree)
        visit = DropsVisit(phone.store, tree, self._told(doing, phone.store))
        for one in doing.found:
            visit.from_part(PARTS[one.cover])
            (visit.damaged if one.damaged else visit.undamaged)(_amount(one.number))
        if not doing.found:
            visit.none()
        visit.done()

    @_act.register
    def _(self, doing: doings.Score, phone: LivedPhone) -> None:
        tree = self._known_tree(phone, doing.tree)
        visit = PickingVisit(phone.store, tree, self._told(doing, phone.store))
        visit.from_part(PARTS[doing.cover])
        _say_total(visit, doing.picked)
        if doing.tapped:
            _tap(visit, doing, phone)
        else:
            for fruit, count in sorted(Counter(doing.scores).items()):
                visit.number(Fruit(fruit), Amount.exactly(count))
        visit.done()
        if doing.name and visit.visit:
            self._named[doing.name] = visit.visit

    @_act.register
    def _(self, doing: doings.CorrectLater, phone: LivedPhone) -> None:
        corrections.adjust(
            phone.store,
            self._named[doing.score],
            doing.difference,
            doing.reason,
            fruit=Fruit(doing.what),
            source=Source.PICKED,
        )

    @_act.register
    def _(self, doing: doings.Share, phone: LivedPhone) -> None:
        self._share(phone)

    def _known(self, phone: LivedPhone, *names: str) -> list[str]:
        """The trees as this phone knows them: its own record where it made one, else one that was shared with it."""
        return [self._known_tree(phone, name) for name in names]

    def _known_tree(self, phone: LivedPhone, name: str) -> str:
        own = self._trees.get((phone.name, name))
        shared = [rec for (_, known), rec in self._trees.items() if known == name]
        found = own or next((rec for rec in shared if phone.store.get(Tree, rec)), None)
        if found is None:
            raise LookupError(f"The phone of {phone.name} has never heard of tree {name}.")
        return found

    def _told(self, doing: doings.Doing, store: PhoneStore) -> Told:
        when = on_day(store, doing.told_day) if doing.told_day else None
        helper = self._helper(doing)
        return Told(when, helper) if when or helper else NOW

    def _helper(self, doing: doings.Doing) -> str | None:
        return self._helpers[doing.helper] if doing.helper else None


def _amount(number: doings.Number) -> Amount:
    if number.low != number.high:
        return Amount.from_to(number.low, number.high)
    return Amount.about(number.low) if number.estimated else Amount.exactly(number.low)


def _say_total(visit: PickingVisit, picked: doings.PickedInAll) -> None:
    if picked.total is not None:
        visit.picked_in_all(picked.total)
    if picked.weight_kg is not None:
        visit.weighed(picked.weight_kg, picked.fruit_per_kg)
    if picked.all_scored:
        visit.all_scored(AllScored.YES)


def _tap(visit: PickingVisit, doing: doings.Score, phone: LivedPhone) -> None:
    """One touch a fruit; slips half way are taken back one by one."""
    for number, fruit in enumerate(doing.scores):
        phone.let_pass(SECONDS_A_FRUIT)
        visit.score(Fruit(fruit))
        if number == len(doing.scores) // 2:
            for _ in range(doing.slips):
                visit.score(Fruit.STING)
            for _ in range(doing.slips):
                visit.take_back()
