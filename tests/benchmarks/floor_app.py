"""The least that a server can do with entries: take them into one table, give them out again. Knows no Pomeward code."""

import gzip
from collections.abc import AsyncIterator
from contextlib import AsyncExitStack, asynccontextmanager
from pathlib import Path

import orjson
from fastapi import FastAPI, Request, Response

from tests.benchmarks.raw_sqlite import raw_database

ENTRY = "CREATE TABLE entry (seq INTEGER PRIMARY KEY, id TEXT UNIQUE, rec TEXT, stamp TEXT, body TEXT)"
JSON = "application/json"


def floor_app(folder: Path) -> FastAPI:
    """One process, one connection, no checks."""
    stack = AsyncExitStack()
    driver = stack.enter_context(raw_database(folder / "floor.db", ENTRY))

    @asynccontextmanager
    async def life(app: FastAPI) -> AsyncIterator[None]:
        async with stack:
            yield

    app = FastAPI(lifespan=life)

    @app.post("/entries")
    async def push(request: Request) -> Response:
        entries = orjson.loads(await request.body())["entries"]
        rows = [(one["id"], one["rec"], one["stamp"], orjson.dumps(one).decode()) for one in entries]
        driver.execute("BEGIN IMMEDIATE")
        driver.executemany("INSERT INTO entry (id, rec, stamp, body) VALUES (?, ?, ?, ?)", rows)
        driver.execute("COMMIT")
        return Response(orjson.dumps({"taken": len(rows)}), media_type=JSON)

    @app.get("/entries")
    async def pull(request: Request, since: int, limit: int) -> Response:
        newer = "SELECT seq, body FROM entry WHERE seq > ? ORDER BY seq LIMIT ?"
        rows = driver.execute(newer, (since, limit))
        items = ",".join(f'{{"seq":{seq},"entry":{body}}}' for seq, body in rows)
        page = f'{{"items":[{items}]}}'.encode()
        if "gzip" not in request.headers["accept-encoding"]:
            return Response(page, media_type=JSON)
        packed = gzip.compress(page, compresslevel=1, mtime=0)
        return Response(packed, media_type=JSON, headers={"Content-Encoding": "gzip"})

    return app
