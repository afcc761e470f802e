"""Every sentence that a person reads can be translated: it is literal, in the template, and given all its values."""

import ast

import pytest

from tests.documentation import catalogue
from tests.documentation.catalogue import calls, fields_of, in_layout, in_page, in_python


@pytest.fixture(scope="module")
def every_call():
    """All calls of the project."""
    return calls()


def test_sentences_are_found_in_the_shared_core(every_call):
    sentences = {text for call in every_call for text in call.texts}
    assert "“{field}” is missing; give it." in sentences  # say()
    assert "More bags were left than were taken from the box." in sentences  # doubt()


def test_every_sentence_is_literal(every_call):
    assert [call.place for call in every_call if None in call.texts] == []


def test_every_sentence_is_given_exactly_its_values(every_call):
    wrong = [
        f"{call.place}: has {sorted(call.given)}, wants {sorted(fields_of(text))}"
        for call in every_call
        for text in call.texts
        if call.given is not None and text is not None and not _fits(text, call)
    ]
    assert wrong == []


def _fits(text, call):
    wanted = fields_of(text)
    return wanted <= call.given and call.given - {"count"} <= wanted


def test_the_catalogue_template_is_current():
    written = catalogue.TEMPLATE.read_text(encoding="utf-8")
    assert written == catalogue.template(), "run: python -m tests.documentation.catalogue"


def test_the_template_holds_every_sentence_once(every_call):
    lines = catalogue.TEMPLATE.read_text(encoding="utf-8").splitlines()
    keys = [ast.literal_eval(line.removeprefix("msgid ")) for line in lines if line.startswith("msgid ")]
    assert keys[0] == "" and len(set(keys)) == len(keys)
    assert set(keys[1:]) == {call.texts[0] for call in every_call}


MODULE = """
from shared_models.language import say

def doubt(field, sentence, /, **values):
    return Doubt(field, say(sentence, **values))

def speak(n, text, values):
    say("One.")
    say("Two "
        "parts of {whole}.", whole=n)
    say_many("{count} bag", "{count} bags", n)
    doubt("field", "Is {it} so?", it=n)
    say(text)
    say(f"No {n}.")
    language.say("By attribute.", **values)
"""


def test_calls_are_found_in_python():
    found = list(in_python(MODULE, "a.py"))
    assert [call.texts for call in found] == [
        ("One.",),
        ("Two parts of {whole}.",),
        ("{count} bag", "{count} bags"),
        ("Is {it} so?",),
        (None,),
        (None,),
        ("By attribute.",),
    ]
    assert found[1].given == frozenset({"whole"})
    assert found[2].given == frozenset({"count"})
    assert found[6].given is None


def test_calls_are_found_in_page_templates():
    page = """<p>{{ say("Seen.") }} {% if x %}{{ say_many("{count} tree", "{count} trees", n) }}{% endif %}
    <a title="{{ say('“{name}” "here"', name=tree.name) }}">{{ say(title) }}</a></p>"""
    found = list(in_page(page, "a.html"))
    assert {call.texts for call in found} == {
        ("Seen.",),
        ("{count} tree", "{count} trees"),
        ('“{name}” "here"',),
        (None,),
    }
    assert next(call for call in found if call.texts == ('“{name}” "here"',)).given == frozenset({"name"})


def test_calls_are_found_in_screen_layouts():
    layout = (
        'Label:\n    text: say("Bags (so far): {n}", n=root.n) if root.n else say("No bags")\n    on_say: x\n'
    )
    found = list(in_layout(layout, "a.kv"))
    assert [(call.line, call.texts) for call in found] == [(2, ("Bags (so far): {n}",)), (2, ("No bags",))]


def test_names_in_braces_are_told_from_doubled_braces():
    assert fields_of("{a} {{not}} {b:.1f} {c.d}") == {"a", "b", "c"}
