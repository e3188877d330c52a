"""What the server refuses, and what it tells browsers to refuse. Plain ASGI, so nothing is buffered."""

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY_BYTES = 12_000_000
"""Far more than any room file, so that one that is merely too large is read and refused with its own sentence."""
READ_AWAY_BYTES = 5 * LARGEST_BODY_BYTES
"""So much of a larger body is read and thrown away: a browser that is cut off while it sends shows no answer."""

READING = ("GET", "HEAD", "OPTIONS")

CONTENT_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data:",
        "font-src 'self'",
        "connect-src 'self'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)

HEADERS = {
    "Content-Security-Policy": CONTENT_POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
    "X-Frame-Options": "DENY",
}


class SecurityHeaders:
    """Adds the headers to every answer, and keeps pages out of caches unless a route says otherwise."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        async def send_with_headers(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers[name] = value
                headers.setdefault("Cache-Control", "no-cache" if _is_static(scope) else "no-store")
            await send(message)

        await self.app(scope, receive, send_with_headers)


class SameOrigin:
    """Refuses changes that a page of another origin asks for. Programs that send no Origin may change things."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "websocket":
            await send({"type": "websocket.close", "code": 1008})
        elif scope["type"] == "http" and scope["method"] not in READING and not _same_origin(Headers(scope=scope)):
            refused = "Another website asked for this change, so it was refused. Open Elbowroom itself and try again."
            await PlainTextResponse(refused, 403)(scope, receive, send)
        else:
            await self.app(scope, receive, send)


class BodyLimit:
    """Refuses bodies that are too large, with an HTTPException that becomes the page for 413."""

    def __init__(self, app: ASGIApp, largest_bytes: int = LARGEST_BODY_BYTES) -> None:
        self.app = app
        self.largest_bytes = largest_bytes

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        seen_bytes = 0

        async def counted() -> Message:
            nonlocal seen_bytes
            message = await receive()
            seen_bytes += len(message.get("body", b""))
            if seen_bytes <= self.largest_bytes:
                return message
            while message.get("more_body") and seen_bytes < READ_AWAY_BYTES:
                message = await receive()
                seen_bytes += len(message.get("body", b""))
            raise HTTPException(413)

        await self.app(scope, counted, send)


def _same_origin(headers: Headers) -> bool:
    site, origin = headers.get("sec-fetch-site"), headers.get("origin")
    if site is not None:
        return site in ("same-origin", "none")
    if origin is not None:
        return urlsplit(origin).netloc == headers.get("host")
    return True


def _is_static(scope: Scope) -> bool:
    return bool(scope.get("path", "").startswith("/static/"))
