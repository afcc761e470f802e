"""Days and times as a person says them. Knows no records."""

from datetime import date, datetime

from shared_models.language import say, spoken, word
from shared_models.when import parse_when

_WEEKDAYS = (
    word("Monday"),
    word("Tuesday"),
    word("Wednesday"),
    word("Thursday"),
    word("Friday"),
    word("Saturday"),
    word("Sunday"),
)
_MONTHS = (
    word("January"),
    word("February"),
    word("March"),
    word("April"),
    word("May"),
    word("June"),
    word("July"),
    word("August"),
    word("September"),
    word("October"),
    word("November"),
    word("December"),
)


def day_in_words(day: date) -> str:
    """Such as "Tuesday 8 September"."""
    return say(
        "{weekday} {day} {month}",
        weekday=spoken(_WEEKDAYS[day.weekday()]),
        day=day.day,
        month=spoken(_MONTHS[day.month - 1]),
    )


def day_with_year(day: date) -> str:
    """Such as "Tuesday 8 September 2026"."""
    return say("{day} {year}", day=day_in_words(day), year=day.year)


def time_in_words(moment: datetime) -> str:
    """Such as "14:02 Tuesday"."""
    return say("{time} {weekday}", time=f"{moment:%H:%M}", weekday=spoken(_WEEKDAYS[moment.weekday()]))


def when_in_words(text: str) -> str:
    """A recorded moment: a time, a day, between two days, or not known."""
    moment = parse_when(text)
    if moment.first is None or moment.last is None:
        return say("day not known")
    if moment.first != moment.last:
        return say(
            "between {first} and {last}", first=day_in_words(moment.first), last=day_in_words(moment.last)
        )
    if moment.instant is None:
        return day_in_words(moment.first)
    return say("{day}, {time}", day=day_in_words(moment.first), time=f"{moment.instant:%H:%M}")


def day_or_days_in_words(text: str) -> str:
    """The day of a recorded moment without its time; between two days, or not known, as they are."""
    moment = parse_when(text)
    return day_in_words(moment.first) if moment.first and moment.first == moment.last else when_in_words(text)


def as_known(here: datetime) -> str:
    """How far what this phone says of label intervals can be trusted."""
    return say(
        "As known on this phone at {time}; a spray on another phone may not be shared yet.",
        time=time_in_words(here),
    )
