"""What else was seen of the fruit scored last, for who wants to note it: one sheet, nothing of it has to be answered."""

from kivy.uix.widget import Widget

from mobile.screens.pick_parts import KEY_WORDS, Toucher
from mobile.widgets.buttons import Primary
from mobile.widgets.choices import Choice, OnOff
from mobile.widgets.fields import TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.words import Words, small
from mobile.workflows.fruit_details import ENTRIES, Asked, FruitDetail, asked_of, causes_of
from mobile.workflows.picking import PickingView
from shared_models.language import say, spoken
from shared_models.vocabulary import EntryPoint


def can_be_told_more(view: PickingView) -> bool:
    """Whether the fruit scored last is one of which something may be noted."""
    return bool(asked_of(view.last_fruit))


def detail_in_words(view: PickingView) -> str:
    """What was noted of it, or what could be."""
    asked = asked_of(view.last_fruit)
    offered = {Asked.ENTRY: say("side, stem or calyx; larva"), Asked.CAUSE: say("what it came from")}
    return view.last_detail.in_words or " · ".join(offered[one] for one in asked)


def detail_sheet(touch: Toucher, view: PickingView) -> Sheet:
    """Asked of the fruit as it was marked when the sheet was laid."""
    fields = _Fields(view)

    def keep() -> None:
        sheet.close()
        detail = fields.detail
        touch(lambda visit: visit.detail(detail))

    marks = " + ".join(spoken(KEY_WORDS[mark][0]) for mark in view.last_fruit if mark in KEY_WORDS)
    note = small(say("Only what you looked at; it changes no count."))
    keep_it = Primary(say("Keep this of the fruit"), keep)
    sheet = Sheet(say("The last fruit: {marks}", marks=marks), note, *fields.widgets, keep_it)
    return sheet


class _Fields:
    """The questions that fit the marks, and what stands in them."""

    def __init__(self, view: PickingView) -> None:
        self._before, self._asked = view.last_detail, asked_of(view.last_fruit)
        self.widgets: list[Widget] = []
        if Asked.ENTRY in self._asked:
            self._ask_entry()
        if Asked.CAUSE in self._asked:
            self._ask_cause(causes_of(view.last_fruit))

    def _ask_entry(self) -> None:
        where: list[tuple[EntryPoint | None, str]] = [(one, spoken(words)) for one, words in ENTRIES.items()]
        self._entry = Choice([*where, (None, say("not seen"))], _nothing, self._before.entered_at)
        larva: list[tuple[bool | None, str]] = [
            (True, say("Larva found")),
            (False, say("No larva found")),
            (None, say("not looked")),
        ]
        self._larva = Choice(larva, _nothing, self._before.larva_found)
        self._cut = OnOff(say("Cut open"), _nothing, on=bool(self._before.cut_open))
        self.widgets += [
            Words(say("Where did it go in?"), bold=True),
            self._entry,
            Words(say("Was a larva in it?"), bold=True),
            self._larva,
            self._cut,
        ]

    def _ask_cause(self, causes: tuple[tuple[str, str], ...]) -> None:
        known = {key for key, _ in causes}
        own = self._before.cause if self._before.cause not in known else None
        options: list[tuple[str | None, str]] = [*causes, (None, say("not noted"))]
        self._cause = Choice(options, _nothing, self._before.cause if own is None else None)
        self._own = TextField(say("Or in your own words"), own or "")
        self.widgets += [Words(say("What was it?"), bold=True), self._cause, self._own]

    @property
    def detail(self) -> FruitDetail:
        """What stands there; what is not asked stays as it was."""
        entry, larva, cut, cause = (
            self._before.entered_at,
            self._before.larva_found,
            self._before.cut_open,
            self._before.cause,
        )
        if Asked.ENTRY in self._asked:
            entry, larva, cut = self._entry.chosen, self._larva.chosen, self._cut.on or None
        if Asked.CAUSE in self._asked:
            cause = self._own.text[:120] or self._cause.chosen
        return FruitDetail(entry, larva, cut, cause)


def _nothing(_: object) -> None:
    """Nothing happens before the whole is kept."""
