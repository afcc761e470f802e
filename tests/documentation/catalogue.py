"""Gathers every sentence that people read into the catalogue template, `shared_models/locale/pomeward.pot`.

    python -m tests.documentation.catalogue        writes the template anew

Sentences are the literal texts of say(), say_many() and doubt() in Python, in page templates and in screen layouts.
The template names files without line numbers, so that it changes only when a sentence does.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from string import Formatter

from jinja2 import Environment, nodes

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("shared_models", "mobile", "server", "demo")
TEMPLATE = ROOT / "shared_models" / "locale" / "pomeward.pot"

TEXT_ARGUMENTS = {"say": (0,), "say_many": (0, 1), "doubt": (1,), "word": (0,)}
ALREADY_THERE = {"say_many": {"count"}}
HANDS_ON = frozenset({"doubt"})  # functions that take a sentence and hand it on to say()

HEADER = r"""# Every sentence that Pomeward says to a person, in English, which is the key.
# Copy to locale/<language>/LC_MESSAGES/pomeward.po and translate; names in braces stay as they are.
msgid ""
msgstr ""
"Project-Id-Version: pomeward\n"
"MIME-Version: 1.0\n"
"Content-Type: text/plain; charset=UTF-8\n"
"Content-Transfer-Encoding: 8bit\n"
"Plural-Forms: nplurals=2; plural=(n != 1);\n"
"""


@dataclass(frozen=True)
class Call:
    """One call that speaks: where, its texts (None where one is no literal), and the values it fills in.

    `given` is None where the values cannot be told from the text of the program.
    """

    path: str
    line: int
    texts: tuple[str | None, ...]
    given: frozenset[str] | None

    @property
    def place(self) -> str:
        """Where to look."""
        return f"{self.path}:{self.line}"


def calls() -> list[Call]:
    """Every call that speaks, by file and line."""
    found: list[Call] = []
    for room in ROOMS:
        for path in sorted((ROOT / room).rglob("*")):
            reader = READERS.get(path.suffix)
            if reader and path.is_file():
                found += sorted(
                    reader(path.read_text(encoding="utf-8"), path.relative_to(ROOT).as_posix()),
                    key=lambda call: call.line,
                )
    return found


# ---------------------------------------------------------------- Python
def in_python(source: str, path: str) -> Iterator[Call]:
    """The calls of a Python module, but for those that only hand a sentence on."""
    yield from _in_tree(ast.parse(source), path)


def _in_tree(node: ast.AST, path: str) -> Iterator[Call]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.FunctionDef) and child.name in HANDS_ON:
            continue
        if isinstance(child, ast.Call) and _name(child.func) in TEXT_ARGUMENTS:
            yield _call(child, path)
        yield from _in_tree(child, path)


def _name(function: ast.expr) -> str | None:
    if isinstance(function, ast.Attribute):
        return function.attr
    return function.id if isinstance(function, ast.Name) else None


def _call(call: ast.Call, path: str, line: int | None = None) -> Call:
    name = _name(call.func) or ""
    texts = tuple(
        _literal(call.args[place]) if place < len(call.args) else None for place in TEXT_ARGUMENTS[name]
    )
    names = {keyword.arg for keyword in call.keywords}
    given = None if None in names else frozenset(filter(None, names)) | ALREADY_THERE.get(name, set())
    return Call(path, line or call.lineno, texts, given)


def _literal(node: ast.expr) -> str | None:
    return node.value if isinstance(node, ast.Constant) and isinstance(node.value, str) else None


# ---------------------------------------------------------------- page templates
def in_page(source: str, path: str) -> Iterator[Call]:
    """The calls in a page template: {{ say("…", name=…) }}."""
    for call in Environment(extensions=["jinja2.ext.do"]).parse(source).find_all(nodes.Call):
        if isinstance(call.node, nodes.Name) and call.node.name in TEXT_ARGUMENTS:
            name = call.node.name
            texts = tuple(
                _constant(call.args[place]) if place < len(call.args) else None
                for place in TEXT_ARGUMENTS[name]
            )
            given = frozenset(keyword.key for keyword in call.kwargs) | ALREADY_THERE.get(name, set())
            yield Call(path, call.lineno, texts, None if call.dyn_kwargs else given)


def _constant(node: nodes.Expr) -> str | None:
    return node.value if isinstance(node, nodes.Const) and isinstance(node.value, str) else None


# ---------------------------------------------------------------- screen layouts
_SPEAKS = re.compile(r"(?<![\w.])(?:app\.)?(say(?:_many)?)\(")


def in_layout(source: str, path: str) -> Iterator[Call]:
    """The calls in a screen layout, each on one line."""
    for number, line in enumerate(source.splitlines(), start=1):
        for match in _SPEAKS.finditer(line):
            yield _call(_parsed(line[match.start(1) :]), path, number)


def _parsed(text: str) -> ast.Call:
    """The shortest beginning of a text that is a call."""
    for end in (place.end() for place in re.finditer(r"\)", text)):
        try:
            parsed = ast.parse(text[:end], mode="eval").body
        except SyntaxError:
            continue
        if isinstance(parsed, ast.Call):
            return parsed
    raise ValueError(f"A call in a screen layout stands on one line: {text!r}")


READERS = {".py": in_python, ".html": in_page, ".txt": in_page, ".kv": in_layout}


# ---------------------------------------------------------------- the template
def template() -> str:
    """The catalogue template as it should be: each sentence once, in the order of the files."""
    where: dict[tuple[str, ...], list[str]] = {}
    for call in calls():
        texts = tuple(text for text in call.texts if text is not None)
        if len(texts) == len(call.texts):
            places = where.setdefault(texts, [])
            if call.path not in places:
                places.append(call.path)
    return "\n".join([HEADER, *(_message(texts, places) for texts, places in where.items())])


def _message(texts: tuple[str, ...], places: list[str]) -> str:
    lines = [f"#: {place}" for place in places]
    if any(fields_of(text) for text in texts):
        lines.append("#, python-brace-format")
    lines.append(f"msgid {_quoted(texts[0])}")
    if len(texts) == 2:
        lines += [f"msgid_plural {_quoted(texts[1])}", 'msgstr[0] ""', 'msgstr[1] ""']
    else:
        lines.append('msgstr ""')
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n").replace("\t", "\\t")
    return f'"{escaped}"'


def fields_of(text: str) -> frozenset[str]:
    """The names in braces of a sentence."""
    return frozenset(name.split(".")[0].split("[")[0] for _, name, _, _ in Formatter().parse(text) if name)


if __name__ == "__main__":
    TEMPLATE.parent.mkdir(exist_ok=True)
    TEMPLATE.write_text(template(), encoding="utf-8")
    print(f"{TEMPLATE.relative_to(ROOT)} is written anew.")
