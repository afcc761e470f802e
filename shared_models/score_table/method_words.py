"""What method somebody means by a word in a table: a known one by key or name, else one of their own. No records."""

import hashlib
import re
import unicodedata

from shared_models.vocabulary import METHODS

MOST_LETTERS = 40


def method_key(word: str) -> str:
    """The key of the method that a word means; a word that nobody knows makes the key of an own method.

    >>> method_key("Kaolin film"), method_key("granulovirus (CpGV)"), method_key("Knoblauch-Sud"), method_key("2.5 cm")
    ('kaolin_film', 'granulovirus', 'knoblauch_sud', 'm_2_5_cm')
    """
    plain = _plain(word)
    return _KNOWN.get(plain) or _own_key(word, plain)


def _plain(word: str) -> str:
    """Small plain letters and digits, with an underline for all between them."""
    letters = unicodedata.normalize("NFKD", word.casefold()).encode("ascii", "ignore").decode()
    return re.sub(r"[^a-z0-9]+", "_", letters).strip("_")


def _own_key(word: str, plain: str) -> str:
    """A word that begins with a digit, is too long or has no plain letters gets a key all the same."""
    key = plain if plain[:1].isalpha() else f"m_{plain}".rstrip("_")
    if plain and len(key) <= MOST_LETTERS:
        return key
    mark = hashlib.sha256(" ".join(word.casefold().split()).encode()).hexdigest()[:10]
    return f"{key[: MOST_LETTERS - 11]}_{mark}"


_KNOWN = {_plain(name): method.key for method in METHODS.values() for name in (method.key, method.name)}
