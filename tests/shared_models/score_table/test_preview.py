"""What an import shows before it writes: the trees as understood, bad lines by number, and how much there is to write."""

from shared_models.score_table.preview import preview
from tests.shared_models.score_table.bare_group import BareGroup

HEAD = "tree,methods,scored,damaged,cultivar,note"


def test_the_preview_reads_as_a_person_would_check_it():
    group = BareGroup()
    text = f"{HEAD}\n1,untreated,14,1,Goldstern,x\n1,untreated,8,7,,\n2,netting,5,0,,\n1,untreated,10,0,,\n3,,9,9,,\n"
    assert preview(group.plan(text)) == (
        "3 trees were understood.\n"
        "Hill, tree 1 (Goldstern), season 2026, left untreated: 8 of 32 damaged (line 2–3, 5)\n"
        "Hill, tree 2, season 2026, netting: 0 of 5 damaged (line 4)\n"
        "Hill, tree 3, season 2026, what it had is not recorded: 9 of 9 damaged (line 6)\n"
        "Columns not used: note.\n"
        "To write: 17 new records, 0 changed, 0 taken back.\n"
    )
    group.imported(text)
    assert "Everything in this table is recorded already" in preview(group.plan(text))
    corrected = text.replace("2,netting,5,0", "2,own brew,6,0")
    assert "To write: 2 new records, 1 changed, 1 taken back." in preview(group.plan(corrected))
    assert "tree 2, season 2026, own brew: 0 of 6" in preview(group.plan(corrected))


def test_bad_lines_are_named_and_nothing_is_to_be_written():
    shown = preview(BareGroup().plan(f"{HEAD}\n1,netting,10,12,,\n2,netting,10,2,,,,x\n3,netting,10,2,,\n"))
    assert shown == (
        "1 tree was understood.\n"
        "Hill, tree 3, season 2026, netting: 2 of 10 damaged (line 4)\n"
        "Columns not used: note.\n"
        "Line 2, damaged: 12 damaged are more than 10 scored.\n"
        "Line 3: This line has 8 cells and the first line 6.\n"
        "Nothing is written while a line is bad. Correct the table and import it again.\n"
    )
