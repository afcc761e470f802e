"""What was seen and not counted: a growth stage of a garden or tree, and a note in own words.

Offers `stages_to_choose`, `see_stage` and `write_note`.
"""

from dataclasses import dataclass

from mobile.storage.phone_store import PhoneStore
from mobile.workflows.drafting import said
from mobile.workflows.first_start import gardens
from mobile.workflows.moments import NOW, Told
from mobile.workflows.spoken_moments import when_in_words
from mobile.workflows.stages import note_stage
from mobile.workflows.usual_garden import usual_garden
from shared_models.errors import BadInputError
from shared_models.language import say
from shared_models.records.gardens import Garden, Note
from shared_models.records.timing import Stage
from shared_models.reference.growth_stages import growth_stages
from shared_models.reference.reading import Mark


@dataclass(frozen=True, slots=True)
class StageLine:
    """One stage of the scale; `marks` says its code, whether it was checked, and when it was seen last."""

    code: str
    meaning: str
    marks: str


@dataclass(frozen=True, slots=True)
class StagesToChoose:
    """All stages in their order, the newest that was seen in a garden, and the gardens to choose from."""

    garden: str | None
    gardens: tuple[Garden, ...]
    lines: tuple[StageLine, ...]
    newest: str | None


@dataclass(frozen=True, slots=True)
class SeenNoted:
    """A record of what was seen, in a sentence."""

    record: str
    sentence: str


def stages_to_choose(store: PhoneStore, garden: str | None = None) -> StagesToChoose:
    """The scale, for a garden (the usual one where none is named)."""
    known = tuple(gardens(store))
    here = garden or usual_garden(store, (stage for stage in store.all(Stage) if stage.garden))
    seen = [stage for stage in store.all(Stage) if stage.garden == here and stage.tree is None]
    newest = max(seen, key=lambda stage: (stage.moment.order, stage.rec), default=None)
    last = {stage.bbch: stage for stage in sorted(seen, key=lambda one: (one.moment.order, one.rec))}
    lines = tuple(
        StageLine(one.code, one.meaning, _marks(one.code, one.mark, last.get(one.code)))
        for one in growth_stages().values()
    )
    return StagesToChoose(here, known, lines, newest.bbch if newest else None)


def see_stage(
    store: PhoneStore,
    bbch: str,
    *,
    garden: str | None = None,
    tree: str | None = None,
    cultivar: str | None = None,
    told: Told = NOW,
) -> SeenNoted:
    """Note a stage that was seen, and say it in words."""
    record = note_stage(store, bbch, garden=garden, tree=tree, cultivar=cultivar, told=told)
    meaning = growth_stages()[bbch].meaning
    return SeenNoted(record, say("BBCH {bbch}: {meaning}.", bbch=bbch, meaning=meaning))


def write_note(store: PhoneStore, text: str, *, about: str | None = None, told: Told = NOW) -> SeenNoted:
    """Record a note in own words, about a record where one is named."""
    if not text.strip():
        raise BadInputError(say("Write something; an empty note is not kept."), "text")
    fields = said(text=text.strip(), about=about)
    record = store.record(Note.kind, fields | told.fields(store))
    return SeenNoted(record, say("The note is kept."))


def _marks(code: str, mark: Mark, last: Stage | None) -> str:
    parts = [
        say("BBCH {bbch}", bbch=code),
        say("unchecked") if mark is Mark.MEMORY else "",
        say("seen {when}", when=when_in_words(last.when)) if last else "",
    ]
    return " · ".join(part for part in parts if part)
