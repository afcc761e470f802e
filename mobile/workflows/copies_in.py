"""A copy that comes to this phone: looked at before anything is taken, then taken in, and what came of it in words.

Offers `CopySeen`, `look_at_copy`, `take_in_copy`, `taken_in_words`. Two phones without a server come together this way.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from mobile.storage.copies import TakenIn
from mobile.storage.phone_store import PhoneStore
from mobile.workflows.invented import entries_of_file, is_invented
from mobile.workflows.spoken_moments import day_with_year
from shared_models.errors import BadInputError
from shared_models.language import say, say_many

_LONGEST_NAME = 80


@dataclass(frozen=True, slots=True)
class CopySeen:
    """A copy before it is taken in: whole sentences, and how many of its records are new here."""

    sentences: tuple[str, ...]
    new: int


def look_at_copy(store: PhoneStore, file: str) -> CopySeen:
    """What a file holds; writes nothing. BadInputError where it is no good copy, or one that has no place here."""
    seen = store.copies.look(_named(store, file), {fields["id"] for fields in entries_of_file()})
    if seen.found:
        raise BadInputError(
            say(
                "This is a copy of the invented seasons. Nothing was taken from it, since what is invented does not "
                "belong among your records."
            ),
            "file",
        )
    told = say_many("{count} record", "{count} records", seen.manifest.entries)
    return CopySeen(
        (
            _of(store, seen.manifest.of, seen.manifest.made),
            say("It holds {records}; {new} of them are not on this phone yet.", records=told, new=seen.new),
        ),
        seen.new,
    )


def take_in_copy(store: PhoneStore, file: str) -> list[str]:
    """Take a copy in; what came of it in whole sentences. Broken off, a part of it is here; again, all of it."""
    look_at_copy(store, file)
    taken = store.copies.take(_named(store, file))
    store.copies.note_taken(taken)
    return list(taken_in_words(store, taken))


def taken_in_words(store: PhoneStore, taken: TakenIn) -> Iterator[str]:
    """What came of a copy: whose it was, what is new, what was here, what cannot be shown, what was not taken and why."""
    yield _of(store, taken.of, taken.made)
    new = say_many("{count} new record.", "{count} new records.", taken.new)
    here = say_many("{count} was here already.", "{count} were here already.", taken.here)
    yield f"{new} {here}"
    if taken.unread:
        yield say_many(
            "{count} of the new ones cannot be shown by this app. It is kept as it came; update the app.",
            "{count} of the new ones cannot be shown by this app. They are kept as they came; update the app.",
            taken.unread,
        )
    if taken.refused:
        yield say_many("{count} was not taken:", "{count} were not taken:", taken.refused)
        for line, why in taken.told:
            yield say("Line {line}: {why}", line=line, why=why.sentence())
        if taken.refused > len(taken.told):
            yield say("and {count} more.", count=taken.refused - len(taken.told))


def _named(store: PhoneStore, file: str) -> Path:
    if is_invented(store):
        raise BadInputError(
            say(
                "Here everything is invented, so no copy is taken in. Leave these seasons first, with the top line."
            )
        )
    if not file.strip():
        raise BadInputError(say("Choose a copy, or type where the file is."), "file")
    return Path(file.strip()).expanduser()


def _of(store: PhoneStore, of: str, made: str) -> str:
    moment = datetime.fromisoformat(made).astimezone(store.now().tzinfo)
    return say(
        "A copy of “{of}”, made on {day} at {time}.",
        of=" ".join(of.split())[:_LONGEST_NAME],
        day=day_with_year(moment.date()),
        time=f"{moment:%H:%M}",
    )
