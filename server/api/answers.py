"""Answers as JSON bytes that are ready. Nothing of a group may be kept by anyone on the way."""

import gzip

from fastapi import Request, Response
from pydantic import BaseModel

PACK_FROM = 1024  # bytes; below it the saving is not worth the work
_HEADERS = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}


def message(content: BaseModel) -> Response:
    """A message of the protocol; what it does not say is left out."""
    return text(content.model_dump_json(exclude_none=True))


def text(content: str | bytes) -> Response:
    """JSON text as it is."""
    return Response(content, media_type="application/json", headers=_HEADERS)


def packed_text(content: str, request: Request) -> Response:
    """JSON text, packed lightly where the caller can unpack it: level 1 costs a third of the time of level 6."""
    if len(content) < PACK_FROM or "gzip" not in request.headers.get("accept-encoding", "").lower():
        return text(content)
    packed = gzip.compress(content.encode(), compresslevel=1, mtime=0)
    headers = {**_HEADERS, "Content-Encoding": "gzip", "Vary": "Accept-Encoding"}
    return Response(packed, media_type="application/json", headers=headers)


def csv_table(content: str, name: str) -> Response:
    """A table to be kept as a file; the name holds no more than letters, numbers and strokes."""
    kept = "".join(one for one in name if one.isascii() and (one.isalnum() or one == "-"))
    headers = {**_HEADERS, "Content-Disposition": f'attachment; filename="pomeward-{kept}.csv"'}
    return Response(content.encode(), media_type="text/csv; charset=utf-8; header=present", headers=headers)
