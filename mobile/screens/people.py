"""People who help: everybody by name, a helper without a phone, another name, and who is not offered any more."""

from functools import partial

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Action, Primary, Row
from mobile.widgets.fields import TextField
from mobile.widgets.sheet import Sheet
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import heading, small
from mobile.workflows.asking import Store, Work
from mobile.workflows.people import (
    PersonLine,
    add_person,
    bring_back_person,
    people,
    rename_person,
    retire_person,
)
from shared_models.language import say, word


class PeopleScreen(Screen):
    """A list, and a line to type one more name."""

    title = word("People who help")

    def show(self) -> None:
        """As they are."""
        self._name = TextField(
            say("A helper without a phone"),
            self.where.draft.get("name", ""),
            lambda text: self.keep(name=text),
        )
        self.ask(people, self._tell)

    def beside_back(self) -> list[Touchable]:
        """Add the helper."""
        return [Primary(say("Add this helper"), self._add)]

    def _tell(self, lines: list[PersonLine]) -> None:
        self.reading.fill(
            heading(say("Who works here")),
            small(say("Hours count for the person who worked, with a phone or without.")),
            *(self._row(line) for line in lines),
            self._name,
        )

    def _row(self, line: PersonLine) -> Row:
        about = say("this phone’s") if line.is_me else say("not offered any more") if line.retired else ""
        return Row(line.name, partial(self._open, line), second=about, sign="person")

    def _add(self) -> None:
        name = self._name.text
        if not name:
            self._name.error = say("Give a name or initials.")
            return

        def added(person: str) -> None:
            self.keep(name="")
            self.recorded(say("{name} can be chosen now.", name=name), lambda store: store.undo(person))
            self.again()

        self.ask(lambda store: add_person(store, name), added)

    def _open(self, line: PersonLine) -> None:
        field = TextField(say("Name or initials"), line.name)
        retired = say("Offer {name} again", name=line.name) if line.retired else say("Do not offer any more")
        choices = [Action(say("Keep this name"), lambda: self._rename(line, field))]
        if not line.is_me:
            choices.append(Action(retired, partial(self._retire, line)))
        sheet = Sheet(
            line.name, field, *choices, small(say("What was done stays theirs, under the new name."))
        )
        self.lay(sheet)

    def _rename(self, line: PersonLine, field: TextField) -> None:
        name = field.text
        if not name:
            field.error = say("Give a name or initials.")
            return

        def back(store: Store) -> None:
            rename_person(store, line.person, line.name)

        def work(store: Store) -> None:
            rename_person(store, line.person, name)

        sentence = say("{old} is called {name} now.", old=line.name, name=name)
        self.ask(work, lambda _: self._changed(sentence, back))

    def _retire(self, line: PersonLine) -> None:
        one_way, other = (
            (bring_back_person, retire_person) if line.retired else (retire_person, bring_back_person)
        )
        sentence = (
            say("{name} is offered again.", name=line.name)
            if line.retired
            else say("{name} is not offered any more.", name=line.name)
        )

        def back(store: Store) -> None:
            other(store, line.person)

        def work(store: Store) -> None:
            one_way(store, line.person)

        self.ask(work, lambda _: self._changed(sentence, back))

    def _changed(self, sentence: str, back: Work[None]) -> None:
        self.close_sheets()
        self.recorded(sentence, back)
        self.again()
