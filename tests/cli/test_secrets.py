"""A password in the address of a server is in nothing that is said, kept or logged: CWE-532, CWE-209."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import Cli

SCHEME = "postgresql+psycopg://"
ADDRESSES = [
    "coach:s3cr%40t@127.0.0.1:1/club",
    "coach:s3cr@t3t@127.0.0.1:1/club",
    "coach:s3cr/t3t@127.0.0.1:1/club",
    "coach:s3cr?t3t@127.0.0.1:1/club",
    "coach:s3cr#t3t@127.0.0.1:1/club",
    "coach:s3cr:t3t@127.0.0.1:1/club",
    "coach:s3cr t3t@127.0.0.1:1/club",
    "coach:s3crt3t/club",
    "coach:s3crt3t@127.0.0.1:abc/club",
    "coach@127.0.0.1:1/club?password=s3crt3t",
    "coach@127.0.0.1:1/club?sslmode=prefer&password=s3cr@t3t&connect_timeout=1",
    "coach@127.0.0.1:1/club?PassWord=s3cr&t3t",
    "coach@127.0.0.1:1/club?sslpassword=s3crt3t",
    "coach:s3cr@127.0.0.1:1/club?password=s3cr@t3t",
    "127.0.0.1:1/club?user=coach&password=s3cr/t3t",
]


@pytest.mark.parametrize("rest", ADDRESSES)
def test_no_command_says_the_password(cli: Cli, home: Path, rest: str) -> None:
    pytest.importorskip("psycopg")
    for address in (f"{SCHEME}{rest}", f"postgresql://{rest}", f"postgresql:{rest}", f"postgresql:/{rest}"):
        said = []
        for words in (["scan"], ["scan", "--debug"], ["history"], ["restore", "x.db"], ["check"]):
            ran = cli("--db", address, *words)
            assert ran.code in {1, 2}
            assert "unexpected" not in ran.err, ran.err
            said += [ran.out, ran.err]
        for words in (["config", "show", "db"], ["config", "show", "--json"]):
            ran = cli("--db", address, *words)
            assert ran.code == 0
            said += [ran.out, ran.err]
        assert "list of processes" in said[-1]
        ran = cli("config", "set", "db", address)
        assert ran.code == 0
        said += [ran.out, ran.err]
        ran = cli("config", "show")
        said += [ran.out, ran.err]
        assert cli("config", "unset", "db").code == 0
        for text in said:
            assert "s3cr" not in text
            assert "t3t" not in text
    assert not [file for file in home.rglob("*") if file.is_file() and b"s3cr" in file.read_bytes()]


@pytest.mark.parametrize("rest", ["coach@127.0.0.1:abc/club", "127.0.0.1:54x/club", "coach@[::1]:x/club"])
def test_a_port_that_is_no_number_is_one_clear_line(cli: Cli, rest: str) -> None:
    ran = cli("--db", f"{SCHEME}{rest}", "scan")
    told = [line for line in ran.err.splitlines() if "list of processes" not in line]
    assert (ran.code, ran.out, len(told)) == (2, "", 1)  # what is no port may be a password, and is warned of
    assert "port is no number" in ran.err
    assert f"{SCHEME}LOGIN@HOST:5432/DATABASE" in ran.err


@pytest.mark.parametrize(
    "address",
    [
        "postgresql+psycopg://coach@h:5432/db?sslmode=verify-full",
        "postgresql+psycopg://coach@[::1]:5432/db",
        "sqlite:////home/x/y.db",
        "/home/x/a:b@c.db",
    ],
)
def test_an_address_without_a_password_is_shown_as_it_is(cli: Cli, address: str) -> None:
    ran = cli("--db", address, "config", "show", "db")
    assert address in ran.out
    assert "list of processes" not in ran.err


def test_what_must_be_encoded_is_said(cli: Cli) -> None:
    ran = cli("--db", f"{SCHEME}coach:s3cr@t@h/club", "scan")
    assert (ran.code, "%40" in ran.err, "~/.pgpass" in ran.err) == (2, True, True)
