"""Every sentence a person reads passes through here, so that a translation is one file. Knows no screens.

The English sentence is the key (gettext). The catalogue template `locale/pomeward.pot` lists every sentence;
a test keeps it complete. Between a number and its unit stands a space at which no line breaks.
"""

import gettext
import re
from functools import lru_cache
from pathlib import Path

LOCALE = Path(__file__).parent / "locale"
_catalogue: gettext.NullTranslations = gettext.NullTranslations()
_BEFORE_A_UNIT = re.compile(r"(?<=[\d}]) (?=(?:%|°[CF]?|kg|mg|mm|m|min|h)(?!\w))")
_NO_BREAK_SPACE = "\N{NO-BREAK SPACE}"


def use_language(code: str) -> None:
    """Speak this language from now on where its file is there, English otherwise."""
    global _catalogue
    _catalogue = gettext.translation("pomeward", LOCALE, languages=[code], fallback=True)


def say(sentence: str, /, **values: object) -> str:
    """The sentence in the reader's language with its values filled in."""
    spoken = together(_catalogue.gettext(sentence))
    return spoken.format(**values) if values else spoken


def say_many(one: str, many: str, count: int, /, **values: object) -> str:
    """The sentence for one or for many, chosen by the count, which it may use as {count}."""
    return together(_catalogue.ngettext(one, many, count)).format(count=count, **values)


def word(text: str) -> str:
    """Mark a word for the catalogue where it is written down; `spoken` gives it in the reader's language later."""
    return text


def spoken(text: str) -> str:
    """A word that was marked with `word`, in the reader's language."""
    return together(_catalogue.gettext(text))


@lru_cache(maxsize=4096)  # the sentences of the catalogue, each made thousands of times
def together(sentence: str) -> str:
    """The sentence, numbers held to their units. What people typed comes into it as a value and is left alone.

    >>> together("{rate} % damaged, 30 °C, 5 minutes").split(" ")
    ['{rate}\\xa0%', 'damaged,', '30\\xa0°C,', '5', 'minutes']
    """
    return _BEFORE_A_UNIT.sub(_NO_BREAK_SPACE, sentence)


def capital(words: str) -> str:
    """Words as they begin a line.

    >>> capital("tree 3: nothing found")
    'Tree 3: nothing found'
    """
    return words[:1].upper() + words[1:]
