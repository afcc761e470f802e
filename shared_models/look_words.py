"""What two people have to decide, in words: which thing, both values, who said each and when. Knows no store.

Names of other records come as a table by id, moments are spoken by whoever shows them.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict

from shared_models.blind_edits import ORDER, BlindEdit, Said
from shared_models.entries import DELETED, Fields
from shared_models.field_words import field_name, plain_value
from shared_models.language import capital, say, say_many, spoken, word
from shared_models.method_words import METHOD_NAMES
from shared_models.records.fields import Record
from shared_models.records.gardens import Garden, Person, Tree
from shared_models.records.kind_words import kind_in_words
from shared_models.records.methods import OwnMethod
from shared_models.records.traps import Trap, TrapVisit
from shared_models.season.double_counts import DoubleCount
from shared_models.vocabulary import CountMode, Species

NAMED = (Tree, Trap, Garden, Person, OwnMethod)
_REFERRING = frozenset({"tree", "garden", "trap", "a", "b", "done_by", "about"})
_DAYS = frozenset({"when", "removed_on", "grafted_on", "from_day", "to_day", "biofix"})
_OF_FIELD: dict[str, dict[str, str]] = {
    "hemisphere": {"north": word("north"), "south": word("south")},
    "species": {
        Species.APPLE.value: word("apple"),
        Species.PEAR.value: word("pear"),
        Species.CRAB_APPLE.value: word("crab apple"),
        Species.QUINCE.value: word("quince"),
        Species.ASIAN_PEAR.value: word("Asian pear"),
    },
    "size": {
        "dwarf": word("dwarf"),
        "semi_dwarf": word("semi-dwarf"),
        "full_size": word("full-size"),
    },
    "reach": {"fruit": word("single fruit"), "tree": word("whole trees"), "garden": word("whole gardens")},
}


class _Told(BaseModel):
    model_config = ConfigDict(frozen=True)


class ToldValue(_Told):
    """One value in words, who said it and when; the first of a look is the one that stands."""

    words: str
    who: str
    when: str


class ToldEdit(_Told):
    """One thing that was set without knowing of each other. `recs` are several where a walking order was set."""

    recs: tuple[str, ...]
    kind: str
    field: str
    what: str
    values: tuple[ToldValue, ...]


class ToldVisit(_Told):
    """One of two counts: what it found, who made it, when."""

    visit: str
    words: str
    who: str
    when: str


class ToldCount(_Told):
    """A trap that was counted twice: both visits, and what counts until somebody decides."""

    trap: str
    what: str
    first: ToldVisit
    second: ToldVisit
    until_then: str


class ToldLooks(_Told):
    """All that is to be decided."""

    edits: tuple[ToldEdit, ...] = ()
    counts: tuple[ToldCount, ...] = ()


def names_of(records: Iterable[Record]) -> dict[str, str]:
    """The names of trees, traps, gardens, people and own methods by id."""
    return {
        one.rec: one.label if isinstance(one, Tree | Trap) else one.name
        for one in records
        if isinstance(one, NAMED)
    }


class LookWords:
    """Puts what is to be decided into words; `names` is a table by id, `fields` gives a record's fields."""

    def __init__(
        self,
        names: Mapping[str, str],
        fields: Callable[[str], Fields],
        moment: Callable[[str], str] = str,
    ) -> None:
        self._names, self._fields, self._moment = names, fields, moment

    def edit(self, edits: tuple[BlindEdit, ...]) -> ToldEdit:
        """One thing to decide."""
        first = edits[0]
        said = [first.stands, *first.others]
        if first.field == ORDER:
            values = [self._order(one, place, len(edits)) for place, one in enumerate(said)]
        else:
            values = [self._value(first.field, one) for one in said]
        recs = tuple(one.rec for one in edits)
        return ToldEdit(
            recs=recs, kind=first.kind, field=first.field, what=self._what(edits), values=tuple(values)
        )

    def count(self, double: DoubleCount) -> ToldCount:
        """A trap that was counted twice."""
        return ToldCount(
            trap=double.trap,
            what=say("Trap {trap} was counted twice", trap=self._name(double.trap)),
            first=self._visit(double.first),
            second=self._visit(double.second),
            until_then=_until_then(double),
        )

    def _what(self, edits: tuple[BlindEdit, ...]) -> str:
        first = edits[0]
        if first.field != ORDER:
            thing, field = self.thing(first.kind, self._fields(first.rec)), field_name(first.field)
            return say("{thing}: {field}", thing=thing, field=field)
        if first.kind == Trap.kind:
            return say_many("Walking order of {count} trap", "Walking order of {count} traps", len(edits))
        return say_many("Walking order of {count} tree", "Walking order of {count} trees", len(edits))

    def thing(self, kind: str, told: Fields) -> str:
        """Which record it is."""
        tree, trap = self._name(told.get("tree")), self._name(told.get("trap"))
        season = str(told.get("season") or "?")
        known = {
            "tree": lambda: say("Tree {tree}", tree=told.get("label", "?")),
            "trap": lambda: say("Trap {trap}", trap=told.get("label", "?")),
            "garden": lambda: say("Garden {garden}", garden=told.get("name", "?")),
            "person": lambda: str(told.get("name", "?")),
            "method": lambda: say("Method {method}", method=told.get("name", "?")),
            "graft": lambda: say(
                "{cultivar} on tree {tree}", cultivar=told.get("cultivar") or "?", tree=tree
            ),
            "placement": lambda: say("Place of trap {trap}", trap=trap),
            "plan_line": lambda: say("Plan for tree {tree} in {season}", tree=tree, season=season),
            "left_out": lambda: say("Tree {tree} left out of {season}", tree=tree, season=season),
            "planned_contrast": lambda: say("Comparison planned for {season}", season=season),
            "season_setting": lambda: say("Settings of season {season}", season=season),
            "due_rule": lambda: say("Rule for due work: {key}", key=plain_value(told.get("key"))),
        }
        return known[kind]() if kind in known else capital(kind_in_words(kind))

    def _value(self, field: str, said: Said) -> ToldValue:
        return ToldValue(words=self.value(field, said.value), **self._by(said))

    def _order(self, said: Said, place: int, how_many: int) -> ToldValue:
        if how_many == 1:
            words = say("place {place}", place=plain_value(said.value))
        else:
            words = say("the order as it was set before") if place else say("the order as it is now")
        return ToldValue(words=words, **self._by(said))

    def _by(self, said: Said) -> dict[str, str]:
        return {"who": self._person(said.by), "when": self._moment(said.entered)}

    def value(self, field: str, value: Any) -> str:
        """A value in words; what a person typed stands as it was typed."""
        if field == DELETED:
            return say("taken back") if value is True else say("not taken back")
        if value is None or value == []:
            return say("nothing said")
        if isinstance(value, str):
            return self._text(field, value)
        if isinstance(value, list | tuple):
            return ", ".join(spoken(METHOD_NAMES.get(str(one), str(one))) for one in value)
        return plain_value(value)

    def _text(self, field: str, text: str) -> str:
        if field in _REFERRING:
            return self._name(text)
        if field in _DAYS:
            return self._moment(text)
        if field == "with_method":
            return spoken(METHOD_NAMES.get(text, text))
        known = _OF_FIELD.get(field, {})
        return spoken(known[text]) if text in known else text

    def _visit(self, visit: TrapVisit) -> ToldVisit:
        moths = visit.moths or 0
        if visit.mode is CountMode.ON_LINER:
            words = say_many("{count} moth on the liner", "{count} moths on the liner", moths)
        else:
            words = say_many("{count} new moth", "{count} new moths", moths)
        return ToldVisit(
            visit=visit.rec, words=words, who=self._person(visit.person), when=self._moment(visit.when)
        )

    def _person(self, person: str) -> str:
        return self._names.get(person) or say("somebody")

    def _name(self, rec: object) -> str:
        return self._names.get(str(rec)) or say("not known here")


def _until_then(double: DoubleCount) -> str:
    if double.none_counts:
        return say("Each was taken back because of the other, so neither counts now. Both numbers are kept.")
    if double.adds_difference:
        return say(
            "Both go back to the same visit. The second says what was on the liner in all, so what came after the "
            "first is added."
        )
    return say(
        "Both go back to the same visit, so moths may stand in both. The first counts until somebody decides."
    )
