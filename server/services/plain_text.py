"""Text that came from outside, made fit to be kept and shown."""


def plain(text: str) -> str:
    """Without control characters: no terminal acts on them, and PostgreSQL takes no NUL in a text."""
    if text.isprintable():
        return text
    return "".join(letter if letter.isprintable() else "\N{REPLACEMENT CHARACTER}" for letter in text)
