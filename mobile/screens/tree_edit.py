"""What is noted of a tree: label, species, size as the rootstock makes it, form, years. Kept while it is typed."""

from typing import Any

from mobile.screens.screen import Screen
from mobile.widgets.buttons import Primary
from mobile.widgets.choices import Choice
from mobile.widgets.fields import NumberField, TextField
from mobile.widgets.touchable import Touchable
from mobile.widgets.words import Words, heading
from mobile.workflows.orchard import SIZE_WORDS, SPECIES_WORDS, TreePage, tree_page
from mobile.workflows.trees import TreeChanged, edit_tree
from shared_models.errors import BadInputError
from shared_models.language import say, spoken, word


class TreeEditScreen(Screen):
    """`about` names the tree; only what was changed is recorded."""

    title = word("A tree")

    def show(self) -> None:
        """As it stands, or as it was typed."""
        tree = self.tree
        self.ask(lambda store: tree_page(store, tree), self._tell)

    @property
    def tree(self) -> str:
        """The tree."""
        return str(self.where.about["tree"])

    def beside_back(self) -> list[Touchable]:
        """Keep it."""
        return [Primary(say("Keep this"), self._keep)]

    def _tell(self, page: TreePage) -> None:
        record = page.record
        self._before = {
            "label": record.label,
            "species": record.species.value if record.species else None,
            "size": record.size.value if record.size else None,
            "form": record.form,
            "year_planted": record.year_planted,
            "bearing_from": record.bearing_from,
        }
        self._label = self._text("label", say("What is written on it?"))
        self._form = self._text("form", say("Trained form, such as espalier"))
        self._planted, self._bears = (
            self._year("year_planted", say("Year planted")),
            self._year("bearing_from", say("Bears since the year")),
        )
        species = [(one.value, spoken(words)) for one, words in SPECIES_WORDS.items()]
        sizes = [(one.value, spoken(words)) for one, words in SIZE_WORDS.items()]
        self._species = Choice(species, lambda one: self.keep(species=one), self._now("species"))
        self._size = Choice(sizes, lambda one: self.keep(size=one), self._now("size"))
        self.reading.fill(
            heading(say("Tree {tree}", tree=record.label)),
            self._label,
            self._planted,
            self._bears,
            self._form,
            Words(say("What is it?")),
            self._species,
            Words(say("How large, as its rootstock makes it?")),
            self._size,
        )

    def _now(self, name: str) -> Any:
        return self.where.draft.get(name, self._before[name])

    def _text(self, name: str, question: str) -> TextField:
        return TextField(question, self._now(name) or "", lambda text: self.keep(**{name: text}))

    def _year(self, name: str, question: str) -> NumberField:
        return NumberField(question, str(self._now(name) or ""), lambda text: self.keep(**{name: text}))

    def _keep(self) -> None:
        if not self._label.text:
            self._label.error = say("A tree needs a label, so that everybody finds the same one.")
            return
        try:
            years = {"year_planted": self._planted.whole(), "bearing_from": self._bears.whole()}
        except BadInputError:
            return  # the field says it
        typed = {
            "label": self._label.text,
            "form": self._form.text or None,
            "species": self._species.chosen,
            "size": self._size.chosen,
            **years,
        }
        changes = {name: value for name, value in typed.items() if value != self._before[name]}
        if changes:
            tree = self.tree
            self.ask(lambda store: edit_tree(store, tree, **changes), self._kept)
        else:
            self.back()

    def _kept(self, changed: TreeChanged) -> None:
        tree, before = self.tree, dict(self._before)
        doubts = [doubt.sentence for doubt in changed.doubts]
        sentence = " ".join(
            [say("Tree {tree} is changed.", tree=changed.line.label), *changed.notes, *doubts]
        )
        self.recorded(sentence, lambda store: edit_tree(store, tree, **before))
        self.back()
