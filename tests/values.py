"""Hypothesis strategies of single values: identifiers, stamps, moments, texts, numbers. Knows no record kind."""

from __future__ import annotations

from datetime import date, datetime, timedelta, timezone
from typing import Any

from hypothesis import strategies as st
from hypothesis.strategies import SearchStrategy

from shared_models.entries import with_plain_numbers
from shared_models.seasons import Hemisphere, season_of
from shared_models.stamps import EARLIEST_MS, LATEST_MS, written
from shared_models.vocabulary import EntryPoint, Fruit


# ---------------------------------------------------------------- identifiers, stamps, moments
@st.composite
def identifiers(draw: st.DrawFn) -> str:
    """Any identifier of version 7 or 8."""
    digits = f"{draw(st.integers(0, 2**128 - 1)):032x}"
    version, variant = draw(st.sampled_from("78")), draw(st.sampled_from("89ab"))
    return f"{digits[:8]}-{digits[8:12]}-{version}{digits[13:16]}-{variant}{digits[17:20]}-{digits[20:]}"


def stamps() -> SearchStrategy[str]:
    """Stamps that honest clocks give; few enough of them that ties are common."""
    few = st.integers(0, 3).map(lambda n: written((EARLIEST_MS << 16) + n))
    return few | st.integers(0, (LATEST_MS << 16) + 0xFFFF).map(written)


days = st.dates(date(1950, 1, 2), date(2100, 12, 30)).map(date.isoformat)


@st.composite
def instants(draw: st.DrawFn) -> str:
    """A local time with its offset, by the minute."""
    local = draw(st.datetimes(datetime(1950, 1, 2), datetime(2100, 12, 30)))
    offset = timezone(timedelta(minutes=draw(st.integers(-14 * 60, 14 * 60))))
    return local.replace(microsecond=0, tzinfo=offset).isoformat()


@st.composite
def spans(draw: st.DrawFn) -> str:
    """Between two days."""
    first, last = sorted([draw(days), draw(days)])
    return f"{first}/{last}"


moments = st.one_of(instants(), days, spans(), st.just("unknown"))
season_keys = st.builds(season_of, st.dates(date(1950, 1, 1), date(2100, 1, 1)), st.sampled_from(Hemisphere))

# ---------------------------------------------------------------- values
readable = st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"])


def texts(most: int = 40, least: int = 0) -> SearchStrategy[str]:
    """Texts that a person can type, in any script."""
    return st.text(readable, min_size=least, max_size=most)


labels = texts(60, least=1).filter(lambda text: bool(text.strip()))


def numbers(least: float, most: float) -> SearchStrategy[float]:
    """Numbers as an entry may hold them."""
    return st.floats(least, most, allow_nan=False).map(lambda x: with_plain_numbers({"x": x})["x"])


def choices(words: Any) -> SearchStrategy[str]:
    """The words of an enumeration, as plain text."""
    return st.sampled_from([str(word) for word in words])


counts = st.integers(0, 100_000)
years = st.integers(1800, 2100)
method_keys = st.from_regex(r"[a-z][a-z0-9_]{0,39}", fullmatch=True)
mixes = st.lists(method_keys, max_size=5)
places = st.one_of(st.just("whole"), identifiers(), st.sampled_from(["side_north", "side_a"]))
fruit_marks = st.lists(choices(Fruit), min_size=1, max_size=6, unique=True)
of_a_fruit = {
    "entered_at": st.none() | choices(EntryPoint),
    "larva_found": st.none() | st.booleans(),
    "cut_open": st.none() | st.booleans(),
    "cause": st.none() | texts(120),
}
plain_numbers = st.integers(-(2**53) + 1, 2**53 - 1) | numbers(-1e14, 1e14)
json_values: SearchStrategy[Any] = st.recursive(
    st.none()
    | st.booleans()
    | plain_numbers
    | st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.from_regex(r"[a-zA-Z0-9_.$]{1,10}", fullmatch=True), inner, max_size=4)
    ),
    max_leaves=8,
)
