"""What is to be decided as plain text, for a command's answer."""

from collections.abc import Iterator

from shared_models.language import say
from shared_models.look_words import ToldCount, ToldEdit, ToldLooks


def looks_as_text(told: ToldLooks) -> str:
    """One paragraph for each thing to decide; a sentence where there is none."""
    if not told.edits and not told.counts:
        return say("Nothing is to be decided.") + "\n"
    paragraphs = [*map(_edit, told.edits), *map(_count, told.counts)]
    last = say("It is decided on a phone, in Sharing.")
    return "\n\n".join("\n".join(lines) for lines in [*paragraphs, [last]]) + "\n"


def _edit(one: ToldEdit) -> Iterator[str]:
    yield say("{what}, set without knowing of each other", what=one.what)
    for place, value in enumerate(one.values):
        told = say("{value}: {who}, {when}", value=value.words, who=value.who, when=value.when)
        yield "  " + (told if place else say("{said} (this holds now)", said=told))


def _count(one: ToldCount) -> Iterator[str]:
    yield one.what
    for visit in (one.first, one.second):
        yield "  " + say("{value}: {who}, {when}", value=visit.words, who=visit.who, when=visit.when)
    yield f"  {one.until_then}"
