"""Text that came from outside, made fit to be kept and shown."""


def plain(text: str) -> str:
    """Without control characters: no terminal acts on them, and PostgreSQL takes no NUL in a text."""
    return (
        text
        if text.isprintable()
        else "".join(one if one.isprintable() else "\N{REPLACEMENT CHARACTER}" for one in text)
    )
