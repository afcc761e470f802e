"""What was saved from a damaged file, in words, until the person has read it. Offers `saved_in_words`, `was_read`.

And what to say when the weekly look at the file finds damage: `check_of_the_week`.
"""

from datetime import datetime

from mobile.storage.phone_store import PhoneStore
from mobile.storage.saved import Saved
from mobile.workflows.spoken_moments import day_in_words
from shared_models.language import say, say_many


def saved_in_words(store: PhoneStore) -> list[str]:
    """Sentences to be read, oldest first; nothing where everything is as it should be."""
    found = store.safe_keeping.saved()
    sentences = [sentence for saved in found for sentence in _all_of(saved)]
    return [*sentences, *_what_to_do(store, found)] if found else []


def was_read(store: PhoneStore) -> None:
    """Tell it no more."""
    store.safe_keeping.saved_was_read()


def check_of_the_week(store: PhoneStore) -> str | None:
    """Look at the whole file where that is due; a sentence where part of it is damaged."""
    if store.safe_keeping.check_if_due():
        return None
    return say(
        "Part of what is stored on this phone is damaged. Nothing was deleted, and you can go on. Close the app and "
        "open it again when you have a minute: it then saves all that can be read, with what its copies hold."
    )


def _all_of(saved: Saved) -> list[str]:
    sentences = [_what_happened(saved), _from_where(saved)]
    if saved.altered:
        sentences.append(
            say_many(
                "{count} record was altered by the damage and left out.",
                "{count} records were altered by the damage and left out.",
                saved.altered,
            )
        )
    if saved.kept_as:
        sentences.append(say("Nothing was deleted: the damaged file is kept beside the new one."))
    return [sentence for sentence in sentences if sentence]


def _what_happened(saved: Saved) -> str:
    if saved.kept_as:
        return say_many(
            "The file of this phone’s records was damaged. {count} record was saved into a new file.",
            "The file of this phone’s records was damaged. {count} records were saved into a new file.",
            saved.total,
        )
    return say_many(
        "{count} record was missing from this phone’s file and was put back.",
        "{count} records were missing from this phone’s file and were put back.",
        saved.total,
    )


def _from_where(saved: Saved) -> str:
    places = [
        say("the damaged file ({count})", count=saved.from_file) if saved.from_file else "",
        _from_copy(saved) if saved.from_copy else "",
        say("the list of what was not shared yet ({count})", count=saved.from_list)
        if saved.from_list
        else "",
    ]
    named = [place for place in places if place]
    return say("Found in: {places}.", places=", ".join(named)) if named else ""


def _from_copy(saved: Saved) -> str:
    if saved.copied_at is None:
        return say("a copy ({count})", count=saved.from_copy)
    day = day_in_words(datetime.fromisoformat(saved.copied_at).date())
    return say("the copy of {day} ({count})", day=day, count=saved.from_copy)


def _what_to_do(store: PhoneStore, found: list[Saved]) -> list[str]:
    if store.membership.current() is not None:
        return [
            say(
                "Nothing to do: all of it is offered to the group’s server at the next exchange, which gives back "
                "what this phone may miss."
            )
        ]
    if (group := store.membership.group_left()) is not None:
        return [
            say(
                "Connect this phone to the group “{group}” again with a new code: the server then gives back what it "
                "may miss.",
                group=group,
            )
        ]
    if any(saved.kept_as for saved in found):
        return [say("Look through the history: what is missing there has to be recorded again.")]
    return []
