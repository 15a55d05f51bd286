"""The command ``undial serve``: the page on this machine. Imports nothing heavy before it is needed."""

from __future__ import annotations

import contextlib
import errno
import ipaddress
import os
import sys
import threading
from pathlib import Path
from typing import TYPE_CHECKING

import click

from converter import cli_parts

if TYPE_CHECKING:
    import socket

    from converter.serve import Door

_WARNING = """\
Open to your house at http://{host}/
  Whoever is in the same network can read along: nothing on the way is encrypted. Do this only in your own house,
  never in a network of guests, a shop or a school. It ends with this command (Ctrl-C).
  Each device needs a key, which works once; a new one appears here after each use."""


@click.command()
@click.option("--folder", "dest", type=click.Path(path_type=Path), metavar="DEST", help="A folder of undial folder.")
@click.option("--port", type=click.IntRange(1, 65_535), metavar="N", help="Port; without it 8437 or the next free one.")
@click.option("--no-browser", is_flag=True, help="Do not open the browser.")
@click.option("--house", "address", metavar="ADDRESS", help="Let devices of your house in, at this machine's address.")
@click.pass_context
def serve(ctx: click.Context, /, *, dest: Path | None, port: int | None, no_browser: bool, address: str | None) -> None:
    """Show the page on this machine: paste, judge, cook.

    It answers on this machine alone, at the address that is printed, until
    Ctrl-C. With --folder it also shows the recipes of DEST and the lines there
    that wait for your judgement. --house lets a tablet in that is in the same
    network, with a key for each device. Exit status: 0 or 130 stopped, 2 wrong
    use.

    \b
    Example: undial serve --folder converted
    """
    folder = None if dest is None else _checked(dest)
    house = None if address is None else _house_address(address)

    from converter.serve import listening
    from converter.serve.door import LOOPBACK, PORT, Door

    addresses = (LOOPBACK,) if house is None else (LOOPBACK, house)
    try:
        at, sockets = listening.listen_all(addresses, port or PORT, tries=1 if port else listening.PORTS)
    except OSError as error:
        raise cli_parts.WrongUse(_why(error, port, house)) from None
    door = Door(port=at, address=house or LOOPBACK, folder=folder, house=house is not None)
    try:
        _run(door, sockets, browser=not no_browser)
    except KeyboardInterrupt:
        ctx.exit(130)
    finally:
        for one in sockets:
            one.close()


def _checked(dest: Path) -> Path:
    from converter.ledger import Ledger, LedgerError

    if not dest.is_dir():
        raise cli_parts.WrongUse(f"{dest}: there is no such folder")
    try:
        with Ledger.open(dest, create=False) as ledger:
            for notice in ledger.notices:
                cli_parts.say(f"Note: {notice}")
    except LedgerError as error:
        raise cli_parts.WrongUse(str(error)) from None
    return dest.resolve()


def _house_address(given: str) -> str:
    try:
        ip = ipaddress.ip_address(given)
    except ValueError:
        raise cli_parts.WrongUse(
            f"--house: {given} is no address; it is this machine's own in your network, like 192.168.1.20"
        ) from None
    if ip.is_loopback:
        raise cli_parts.WrongUse(f"--house: {given} is reached from this machine only; leave --house out for that")
    if ip.is_unspecified or ip.is_multicast:
        raise cli_parts.WrongUse(f"--house: {given} stands for many addresses; name the one of this machine")
    if not ip.is_private or ip.is_link_local:
        raise cli_parts.WrongUse(f"--house: {given} is no address of a house's own network; the page stays inside")
    return str(ip)


def _why(error: OSError, port: int | None, house: str | None) -> str:
    from converter.serve.door import PORT
    from converter.serve.listening import PORTS

    if error.errno == errno.EADDRNOTAVAIL:
        return f"--house: {house} is no address of this machine"
    if error.errno == errno.EACCES:
        return f"port {port or PORT} is not for ordinary users; take one from 1024 up"
    if error.errno == errno.EADDRINUSE and port:
        return f"port {port} is in use; take another, or leave --port out and a free one is found"
    if error.errno == errno.EADDRINUSE:
        return f"the ports from {PORT} to {PORT + PORTS - 1} are all in use; name a free one with --port"
    return f"this machine does not let undial listen: {error.strerror or error}"


def _run(door: Door, sockets: list[socket.socket], *, browser: bool) -> None:
    from converter.serve import listening, running
    from converter.serve.app import build
    from converter.serve.house import House

    here = f"http://127.0.0.1:{door.port}/"

    def ready() -> None:
        click.echo(f"undial is at {here} (Ctrl-C ends it)")
        if door.house:
            host = f"[{door.address}]" if ":" in door.address else door.address
            cli_parts.say(_WARNING.format(host=f"{host}:{door.port}"))
            house.show()
        sys.stdout.flush()
        threading.Thread(target=_warm, daemon=True).start()
        if browser:
            threading.Thread(target=_show, args=(here,), daemon=True).start()

    house = House(open_to_house=door.house, told=lambda key: cli_parts.say(f"Key for one device: {key}"))
    app = build(door, house=house)
    server = listening.server(app)
    server.ready = ready
    try:
        server.run(sockets=sockets)
    finally:
        running.stop(app)


def _warm() -> None:
    """Load what a conversion needs while the cook looks for the recipe; what fails here is told when it is wanted."""
    with contextlib.suppress(Exception):
        from converter.pipeline import convert
        from converter.read.text import document
        from converter.write.forms import render

        chosen, slope = cli_parts.own_cooker(None, quiet=True)
        text = "Rice\n\n1. Simmer the rice for 12 minutes.\n2. Bake at 180°C for 20 minutes.\n"
        render(convert(document(text, name="warm"), cooker=chosen, rules=cli_parts.rule_table(), slope=slope), "html")


def _show(address: str) -> None:
    """Open the browser of the desktop; one that would take over this terminal is not opened."""
    import webbrowser

    if os.name == "posix" and sys.platform != "darwin":
        if not any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER")):
            return
    with contextlib.suppress(Exception):
        webbrowser.open(address)
