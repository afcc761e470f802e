"""Reading a table of scores: what each line says, and a sentence with its number for each one that says nothing."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared_models.errors import BadInputError, TooLargeError
from shared_models.score_table.reading import MOST_BYTES, MOST_LINES, read_score_file, read_score_table
from shared_models.vocabulary import Reach
from tests.strategies import law

HEAD = "tree,methods,scored,damaged"
FULL = "tree,methods,scored,damaged,garden,cultivar,date,season,reach,declared_before"


def only_row(text):
    """The one row of a table without a bad line."""
    table = read_score_table(text)
    assert table.bad == []
    [row] = table.rows
    return row


def only_complaint(text):
    """The one bad line of a table."""
    [bad] = read_score_table(text).bad
    return bad


def test_every_column_is_understood():
    row = only_row(f"{FULL}\n7b,Garlic brew,60,5,Hill,Goldstern,2026-09-10,2026,garden,yes\n")
    assert (row.line, row.tree, row.scored, row.damaged) == (2, "7b", 60, 5)
    assert row.methods == {"garlic_brew": "Garlic brew"}
    assert (row.garden, row.cultivar, row.day, row.season) == (
        "Hill",
        "Goldstern",
        date(2026, 9, 10),
        "2026",
    )
    assert (row.reach, row.declared_before) == (Reach.GARDEN, True)


def test_columns_that_are_not_there_say_nothing():
    row = only_row(f"{HEAD}\n1,,10,0\n")
    assert (row.garden, row.cultivar, row.day, row.season, row.reach, row.declared_before) == (None,) * 6


@pytest.mark.parametrize(
    ("cell", "methods"),
    [
        ("", None),
        ("untreated", {}),
        ("Untreated", {}),
        ("netting", {"netting": "netting"}),
        ("kaolin film + trunk band", {"kaolin_film": "kaolin film", "trunk_band": "trunk band"}),
        ("granulovirus (CpGV)", {"granulovirus": "granulovirus (CpGV)"}),
        ("Netting+netting", {"netting": "Netting"}),
        ("bagging+5 g brew", {"bagging": "bagging", "m_5_g_brew": "5 g brew"}),
    ],
)
def test_methods_are_joined_by_plus_and_known_by_key_or_name(cell, methods):
    found = only_row(f"{HEAD}\n1,{cell},10,0\n").methods
    assert found == methods
    assert list(found or {}) == list(methods or {})


FORMS = {
    "plain": f"{HEAD}\n1,netting,10,2\n",
    "no line end": f"{HEAD}\n1,netting,10,2",
    "lines of another system": f"{HEAD}\r\n1,netting,10,2\r\n",
    "lines of an old system": f"{HEAD}\r1,netting,10,2\r",
    "semicolons": f"{HEAD}\n1,netting,10,2\n".replace(",", ";"),
    "tabulators": f"{HEAD}\n1,netting,10,2\n".replace(",", "\t"),
    "byte order mark": f"\ufeff{HEAD}\n1,netting,10,2\n",
    "quoted": '"tree","methods","scored","damaged"\n"1","netting","10","2"\n',
    "blanks around": " Tree , METHODS ,scored, damaged \n 1 , netting , 10 , 2 \n",
    "blank lines": f"\n\n{HEAD}\n\n , , , \n1,netting,10,2\n\n",
    "numbers of a spreadsheet": f"{HEAD}\n1,netting,10.0,2.00\n",
    "empty columns at the end": f"{HEAD},,\n1,netting,10,2,,\n",
}


@pytest.mark.parametrize("text", FORMS.values(), ids=FORMS.keys())
def test_every_usual_form_of_csv_is_the_same_table(text):
    row = only_row(text)
    assert (row.tree, row.methods, row.scored, row.damaged) == ("1", {"netting": "netting"}, 10, 2)


def test_a_file_may_begin_with_a_byte_order_mark():
    table = read_score_file(f"\ufeff{HEAD}\nBäumchen,netting,10,2\n".encode())
    assert table.rows[0].tree == "Bäumchen"


def test_quoted_cells_may_hold_commas_and_line_ends_and_numbers_of_lines_hold():
    table = read_score_table(
        f'{HEAD},cultivar\n"the tall, old\none",netting,10,2,"a ""b"""\n2,netting,1,5,\n'
    )
    assert (table.rows[0].tree, table.rows[0].cultivar) == ("the tall, old one", 'a "b"')
    assert [bad.line for bad in table.bad] == [4]


def test_columns_of_other_names_are_not_used_and_are_named():
    table = read_score_table("tree,methods,scored,damaged,weather,note\n1,netting,10,2,fine,x\n")
    assert table.not_used == ["weather", "note"]
    assert len(table.rows) == 1


def test_good_lines_are_kept_beside_bad_ones():
    table = read_score_table(f"{HEAD}\n1,,10,0\n2,,ten,0\n3,,10,0\n4,,10,11\n")
    assert [row.line for row in table.rows] == [2, 4]
    assert [(bad.line, bad.column) for bad in table.bad] == [(3, "scored"), (5, "damaged")]


BAD_LINES = {
    "more damaged than scored": ("1,,10,11", "damaged", "11 damaged are more than 10 scored."),
    "negative": ("1,,-10,0", "scored", "“scored” is “-10”, and must be a whole number from 0 to 100000."),
    "negative damaged": ("1,,10,-1", "damaged", "“damaged” is “-1”"),
    "no number": ("1,,ten,0", "scored", "“scored” is “ten”"),
    "half a fruit": ("1,,10.5,0", "scored", "“scored” is “10.5”"),
    "too many": ("1,,100001,0", "scored", "“scored” is “100001”"),
    "digits of other scripts": ("1,,１０,0", "scored", "“scored” is “１０”"),
    "far too many": (f"1,,{'9' * 400},0", "scored", "must be a whole number"),
    "blank scored": ("1,,,0", "scored", "“scored” is empty; fill it in."),
    "blank damaged": ("1,,10,", "damaged", "“damaged” is empty; fill it in."),
    "short line": ("1,,10", "damaged", "“damaged” is empty; fill it in."),
    "no tree": (",,10,0", "tree", "“tree” is empty; fill it in."),
    "nothing scored": ("1,,0,0", "scored", "No fruit was scored; leave the line out."),
    "long label": (f"{'x' * 61},,10,0", "tree", "“tree” has more than 60 letters or unreadable ones."),
    "unreadable label": ("a\x07b,,10,0", "tree", "unreadable"),
    "extra cell": ("1,,10,0,5", None, "This line has 5 cells and the first line 4."),
    "plus alone": ("1,netting+,10,0", "methods", "“netting+” has a + without a method beside it."),
    "untreated and treated": (
        "1,untreated+netting,10,0",
        "methods",
        "“untreated+netting”: a tree with a method is not untreated.",
    ),
    "long method": (f"1,{'x' * 61},10,0", "methods", "A method has more than 60 letters or unreadable ones."),
}


@pytest.mark.parametrize(("line", "column", "sentence"), BAD_LINES.values(), ids=BAD_LINES.keys())
def test_a_bad_line_is_named_with_its_number_and_what_is_wrong(line, column, sentence):
    bad = only_complaint(f"{HEAD}\n{line}\n")
    assert (bad.line, bad.column) == (2, column)
    assert sentence in bad.sentence
    assert bad.sentence.endswith(".") and len(bad.sentence) < 200


BAD_OPTIONS = {
    "another calendar": (
        "date",
        "10.09.2026",
        "“10.09.2026” is no day from 1950 to 2100; write it as 2026-09-10.",
    ),
    "two days": ("date", "2026-09-01/2026-09-02", "is no day"),
    "a day that is not": ("date", "2026-02-30", "is no day"),
    "long ago": ("date", "1900-09-10", "is no day"),
    "season": (
        "season",
        "2026/28",
        "“2026/28” names no season; write 2026 in the north or 2026/27 in the south.",
    ),
    "reach": ("reach", "bush", "The reach is “bush”; it is one of fruit, tree, garden."),
    "declared": ("declared_before", "perhaps", "“perhaps” is neither yes nor no."),
    "garden": ("garden", "x" * 61, "“garden” has more than 60 letters"),
    "cultivar": ("cultivar", "x" * 61, "“cultivar” has more than 60 letters"),
}


@pytest.mark.parametrize(("column", "cell", "sentence"), BAD_OPTIONS.values(), ids=BAD_OPTIONS.keys())
def test_a_bad_cell_of_a_further_column_is_named(column, cell, sentence):
    bad = only_complaint(f"{HEAD},{column}\n1,,10,0,{cell}\n")
    assert (bad.line, bad.column) == (2, column)
    assert sentence in bad.sentence


NO_TABLES = {
    "nothing": ("", "This table is empty; nothing was read."),
    "blank": ("\n \n,,\n", "This table is empty; nothing was read."),
    "no scores": ("tree,methods,damaged\n1,,3\n", "The first line has no column “scored”"),
    "no first line": ("1,netting,10,2\n", "The first line has no column “tree”"),
    "a column twice": ("tree,methods,scored,damaged,Scored\n", "The column “scored” stands twice"),
    "open quotation": (f'{HEAD}\n1,"netting,10,2\n2,,10,2\n', "Line 2 cannot be read"),
    "quotation inside": (f'{HEAD}\n1,"net"ting,10,2\n', "Line 2 cannot be read"),
    "endless cell": (f'{HEAD}\n1,"{"x" * 140_000}",10,2\n', "Line 2 cannot be read"),
}


@pytest.mark.parametrize(("text", "sentence"), NO_TABLES.values(), ids=NO_TABLES.keys())
def test_what_is_no_table_is_refused_whole(text, sentence):
    with pytest.raises(BadInputError) as refused:
        read_score_table(text)
    assert sentence in str(refused.value)


def test_a_file_that_is_no_text_is_refused():
    for content in (b"\xff\xfet\x00r\x00", b"PK\x03\x04\xa0\xb1", "tree,méthode".encode("latin-1")):
        with pytest.raises(BadInputError, match="no UTF-8 text"):
            read_score_file(content)


def test_huge_files_are_refused_before_they_are_read():
    with pytest.raises(TooLargeError, match="more than 4 MB"):
        read_score_file(b"x" * (MOST_BYTES + 1))
    with pytest.raises(TooLargeError, match=f"more than {MOST_LINES} lines"):
        read_score_table(f"{HEAD}\n" + "1,,10,0\n" * MOST_LINES)
    assert len(read_score_table(f"{HEAD}\n" + "1,,10,0\n" * (MOST_LINES - 1)).rows) == MOST_LINES - 1


cells = st.text(st.sampled_from('ab1230.,;+-"\n\r\t \x00\x07é/'), max_size=8)


@law
@given(st.lists(st.lists(cells, max_size=12), max_size=6), st.sampled_from([",", ";", "\t"]))
def test_any_text_is_read_or_refused_with_a_sentence(rubbish, separator):
    text = "\n".join(separator.join(line) for line in [FULL.split(","), *rubbish])
    try:
        table = read_score_table(text)
    except BadInputError as refused:
        assert str(refused).endswith(".")
        return
    assert all(0 <= row.damaged <= row.scored and row.scored > 0 and row.tree for row in table.rows)
    assert all(bad.line > 1 and bad.sentence.endswith(".") for bad in table.bad)
