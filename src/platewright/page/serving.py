"""Serving the page on this machine and, where asked, to the local network (waitress's door)."""

from __future__ import annotations

import contextlib
import logging
import secrets
import socket
import sys
from collections.abc import Callable
from pathlib import Path

from waitress.server import create_server

from platewright.errors import OutputError
from platewright.page.door import LARGEST_BODY, Door
from platewright.page.folder import Folder
from platewright.page.work import Worker
from platewright.values import dataclass

HOME = "127.0.0.1"
_THREADS = 12
_BACKLOG = 64
_PLAIN = "abcdefghjkmnpqrstuvwxyz23456789"  # without those that look alike


@dataclass(frozen=True, slots=True, kw_only=True)
class Addresses:
    """Where the page is: for this machine, and for the network where it is let in."""

    own: str
    lan: str | None


def serve(
    folder: Path,
    page: str,
    *,
    port: int,
    lan: bool,
    write: bool,
    ready: Callable[[Addresses], None],
) -> None:
    """Serve the page of a folder until it is broken off; `ready` is told where it is.

    `page` is what is opened first, behind the key; a `port` of 0 is any that is free; `write` lets
    the network change files too. Raises OutputError where nothing can be served.
    """
    home = Folder.at(folder)
    with contextlib.suppress(KeyboardInterrupt), contextlib.ExitStack() as stack:
        sockets = [stack.enter_context(_bound(HOME, port))]
        port = sockets[0].getsockname()[1]
        hosts = _hosts((HOME, "localhost"), port)
        doors = [Door(key=secrets.token_urlsafe(18), hosts=hosts, can_write=True)]
        address = lan_address() if lan else None
        if lan:
            if address is None:
                raise OutputError("this machine is on no local network: leave --lan out")
            sockets.append(stack.enter_context(_bound(address, port)))
            hosts = _hosts((address,), port)
            doors.append(Door(key=_typed_key(), hosts=hosts, can_write=write, lan=True))
        own = f"http://{HOME}:{port}/{doors[0].key}/{page}"
        other = f"http://{address}:{port}/{doors[1].key}/{page}" if address else None
        quick, slow = Worker(home.root), Worker(home.root)
        stack.callback(quick.close)
        stack.callback(slow.close)
        quick.start()
        ready(Addresses(own=own, lan=other))  # whoever comes now waits until the rest is loaded
        from platewright.page.app import make_app

        app = make_app(home, tuple(doors), quick, slow)
        stack.callback(app.extensions["platewright"].close)
        server = create_server(
            app,
            sockets=sockets,
            threads=_THREADS,
            ident=None,
            max_request_body_size=LARGEST_BODY,
            max_request_header_size=16_384,
            channel_timeout=30,
            connection_limit=60,
            clear_untrusted_proxy_headers=True,
        )
        stack.callback(server.close)
        # a browser asks for several things at once; that one of them waits is no news
        logging.getLogger("waitress.queue").setLevel(logging.ERROR)
        slow.start()
        server.run()


def _typed_key() -> str:
    """A key that is typed into a phone: 59 bits, more than can be tried over a network."""
    return "-".join("".join(secrets.choice(_PLAIN) for _ in range(4)) for _ in range(3))


def _hosts(names: tuple[str, ...], port: int) -> frozenset[str]:
    bare = names if port == 80 else ()  # browsers leave the usual port out
    return frozenset((*bare, *(f"{name}:{port}" for name in names)))


def _bound(address: str, port: int) -> socket.socket:
    found = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        if sys.platform != "win32":  # there another program could take the port over
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind((address, port))
        found.setblocking(False)
        found.listen(_BACKLOG)
    except OSError as error:
        found.close()
        reason = (error.strerror or str(error)).lower()
        raise OutputError(f"no page can be served at {address}:{port}: {reason}") from None
    return found


def lan_address() -> str | None:
    """This machine's address on its network, None where it is on none; nothing is sent."""
    with contextlib.suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        # an address kept for documents (RFC 5737): joining a datagram socket only picks the way out
        probe.connect(("192.0.2.1", 9))
        address: str = probe.getsockname()[0]
        return None if address.startswith(("127.", "0.")) else address
    return None
