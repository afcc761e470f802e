"""Templates made pages, with the headers that every page has. Knows no service."""

from pathlib import Path
from typing import Any

from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from shared_models import (
    chart_shapes,
    limit_words,
    planning_words,
    report_words,
    scoring_words,
    verdict_words,
)
from shared_models.language import say, say_many

HERE = Path(__file__).parent
STATIC = HERE / "static"
HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Content-Security-Policy": (
        "default-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
    ),
    # Not no-referrer: a browser would then hide the origin of our own forms from us.
    "Referrer-Policy": "same-origin",
}


def plain_number(value: float) -> str:
    """A count that may be a fraction, since it can come from an estimate or a weight: one decimal at most."""
    return f"{round(value, 1):g}" if abs(value) < 1e5 else f"{value:.0f}"


def rendered(template: str, **content: Any) -> str:
    """A template filled in."""
    return _TEMPLATES.get_template(template).render(**content)


def page(template: str, status: int = 200, **content: Any) -> HTMLResponse:
    """A page as it is answered."""
    return HTMLResponse(rendered(template, **content), status, headers=HEADERS)


def error_page(status: int, sentence: str) -> HTMLResponse:
    """The page for what went wrong; without a connection it says how to connect."""
    return page("not_connected.html" if status == 401 else "message.html", status, sentence=sentence)


def _templates() -> Environment:
    found = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    found.globals.update(
        say=say,
        say_many=say_many,
        words=report_words,
        verdicts=verdict_words,
        scoring=scoring_words,
        limits=limit_words,
        shapes=chart_shapes,
        planning=planning_words,
    )
    found.filters.update(plain_number=plain_number)
    return found


_TEMPLATES = _templates()
