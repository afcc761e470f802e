"""Puts the server together: services, routes, pages, errors. Assembles and does nothing else."""

import gc
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from anyio import CapacityLimiter
from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from server.api import connect, entries, hello, looks, season, timing
from server.database.engine import open_database
from server.dependencies import Services
from server.error_responses import answer_errors
from server.services.connecting import Connecting, key_in
from server.settings import Settings
from server.web import pages, report_pages, timing_pages
from server.web.rendering import STATIC, error_page
from shared_models.protocol import API


def open_services(settings: Settings) -> Services:
    """Open the database and what works on it; the caller closes it."""
    database = open_database(settings.database)
    connecting = Connecting(database, key_in(settings.code_key))
    return Services(database, connecting, CapacityLimiter(database.pushes_at_once))


def _collect_garbage_rarely() -> None:
    """What is there now stays: looking through it again and again would cost 20 ms each time. And a push makes some
    thousands of objects that all live until it is answered: looking through them is a twentieth of its time.
    """
    gc.freeze()
    gc.set_threshold(20_000, 10, 10)


def create_app(settings: Settings) -> FastAPI:
    """The server as an ASGI application."""
    services = open_services(settings)

    @asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        _collect_garbage_rarely()
        yield
        services.database.close()

    # No interactive documentation: it would load scripts from elsewhere. The OpenAPI document is there.
    app = FastAPI(
        title="Pomeward", lifespan=life, openapi_url=f"{API}/openapi.json", docs_url=None, redoc_url=None
    )
    app.state.services = services
    for module in (hello, connect, entries, season, timing, looks):
        app.include_router(module.router, prefix=API)
    app.include_router(pages.router)
    app.include_router(report_pages.router)
    app.include_router(timing_pages.router)
    app.mount("/static", StaticFiles(directory=STATIC))
    answer_errors(app, error_page)
    return app
