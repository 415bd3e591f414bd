"""The address of a server as it may be shown: without a password, however it is written."""

from __future__ import annotations

import re

_SERVER = re.compile(r"(?:postgres\w*(?:\+\w+)?:/{0,2}|(?!sqlite)[a-z][\w+.-]*://)", re.ASCII | re.IGNORECASE)
_SECRET = re.compile(r"[?&;][^?&;=]*pass[^?&;=]*=", re.IGNORECASE)
_BRACKETS = re.compile(r"\[[^\]]*\]")


def is_server(address: str) -> bool:
    """Return whether a text is meant as the address of a server, right or wrong, and not as a path."""
    return _SERVER.match(address) is not None


def is_secret(name: str) -> bool:
    """Return whether an option of an address holds a password."""
    return "pass" in name.lower()


def without_secret(address: str) -> str:
    """Return an address with stars for its password; a path as it is.

    A password may hold the very characters that end it, so where it could go on, all of that goes.
    """
    scheme = _SERVER.match(address)
    if scheme is None:
        return address
    rest, tail = address[scheme.end() :], ""
    if secret := _SECRET.search(rest):
        rest, tail = rest[: secret.start()], f"{rest[secret.start() : secret.end()]}***"
    login, at, place = rest.rpartition("@")
    if at:
        user, colon, _ = login.partition(":")
        login = f"{user}:***" if colon else login
    elif not _BRACKETS.match(place):  # a password whose host is missing looks like a port
        host, colon, port = place.partition(":")
        if colon and not re.match(r"\d+(?:[/?]|$)", port, re.ASCII):
            place = f"{host}:***"
    return f"{scheme[0]}{login}{at}{place}{tail}"
