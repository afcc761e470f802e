"""Every sentence a person reads passes through here, so that a translation is one file. Knows no screens.

The English sentence is the key (gettext). The catalogue template `locale/pomeward.pot` lists every sentence;
a test keeps it complete.
"""

import gettext
from pathlib import Path

LOCALE = Path(__file__).parent / "locale"
_catalogue: gettext.NullTranslations = gettext.NullTranslations()


def use_language(code: str) -> None:
    """Speak this language from now on where its file is there, English otherwise."""
    global _catalogue
    _catalogue = gettext.translation("pomeward", LOCALE, languages=[code], fallback=True)


def say(sentence: str, /, **values: object) -> str:
    """The sentence in the reader's language with its values filled in."""
    spoken = _catalogue.gettext(sentence)
    return spoken.format(**values) if values else spoken


def say_many(one: str, many: str, count: int, /, **values: object) -> str:
    """The sentence for one or for many, chosen by the count, which it may use as {count}."""
    return _catalogue.ngettext(one, many, count).format(count=count, **values)


def word(text: str) -> str:
    """Mark a word for the catalogue where it is written down; `spoken` gives it in the reader's language later."""
    return text


def spoken(text: str) -> str:
    """A word that was marked with `word`, in the reader's language."""
    return _catalogue.gettext(text)


def capital(words: str) -> str:
    """Words as they begin a line.

    >>> capital("tree 3: nothing found")
    'Tree 3: nothing found'
    """
    return words[:1].upper() + words[1:]
