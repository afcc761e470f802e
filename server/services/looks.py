"""What the people of a group have to decide, in words: edits that did not know of each other, traps counted twice.

The same list as on every phone of the group. Deciding is done on a phone, beside the thing itself.
"""

from server.database.engine import Database
from server.database.looks import open_looks
from server.database.records import GroupRecords
from shared_models.blind_edits import together
from shared_models.entries import Fields
from shared_models.look_words import NAMED, LookWords, ToldLooks, names_of


class GroupLooks:
    """The open decisions of one group."""

    def __init__(self, database: Database, group: str) -> None:
        self._database = database
        self._group = group

    def told(self) -> ToldLooks:
        """All of them, by thing and then by trap."""
        with self._database.writing() as connection:
            edits, doubles = open_looks(connection, self._group)
            if not edits and not doubles:
                return ToldLooks()
            records = GroupRecords(connection, self._group)
            names = names_of(record for kind in NAMED for record in records.all(kind))

            def fields(rec: str) -> Fields:
                found = records.folded(rec)
                return found.fields if found else {}

            words = LookWords(names, fields, _moment)
            return ToldLooks(
                edits=tuple(words.edit(one) for one in together(edits)),
                counts=tuple(words.count(one) for one in doubles),
            )


def _moment(text: str) -> str:
    """A moment as the pages show it, in its own offset; a day as it is."""
    return f"{text[:10]} {text[11:16]}" if "T" in text else text
