"""The workers of a Dask cluster, reached through its scheduler over TLS; they need only this program.

Certificates are named where Dask itself looks for them: in its environment variables or its
configuration files. A cluster checks who signed a certificate and not which machine shows it, so the
authority must be the cluster's own.
"""

from __future__ import annotations

import logging
import socket
import ssl
from collections.abc import Callable
from pathlib import Path
from typing import Any, Final, TypeVar
from urllib.parse import urlsplit

from tracker.app.workers import PREFETCH, LostError, Workers
from tracker.errors import SlackwaterError, UsageError

A = TypeVar("A")
B = TypeVar("B")

_PATIENCE_S: Final = 10
_LONELY: Final = 2
"""Checks in a row without any worker before giving up: a supervisor may be restarting one."""
_NAMES: Final = "DASK_DISTRIBUTED__COMM__TLS__"
_FILES: Final = {
    "CA_FILE": "tls_ca_file",
    "CLIENT__CERT": "tls_client_cert",
    "CLIENT__KEY": "tls_client_key",
}
_NEEDED: Final = ("CA_FILE", "CLIENT__CERT")
"""A certificate's file may hold its key too."""
_HERE: Final = {"localhost", "127.0.0.1", "::1"}


class Cluster(Workers):
    """What gives parts to the workers of the cluster at an address.

    Raises
    ------
    UsageError
        If the address is none, would send people's data in the clear, or its certificates are not there.
    SlackwaterError
        If the cluster cannot be reached, or one side does not take the other's certificate.
    """

    def __init__(self, address: str) -> None:
        check_address(address)
        try:
            import distributed
        except ModuleNotFoundError:
            raise UsageError("a cluster needs its library: pip install 'slackwater[cluster]'") from None
        for name in ("distributed", "distributed.client"):  # what goes wrong is said in our own words
            logging.getLogger(name).setLevel(logging.CRITICAL)
        library: Any = distributed
        self._address = address
        security = _security(library, address)
        _knock(address, None if security is None else security.get_connection_args("client")["ssl_context"])
        try:
            self._client: Any = library.Client(
                address, security=security, timeout=_PATIENCE_S, set_as_default=False
            )
        except (OSError, ValueError, TypeError, RuntimeError):
            raise _no_scheduler(address) from None
        try:
            self._check_workers()
            self._capacity: int = max(1, sum(self._client.nthreads().values())) * (1 + PREFETCH)
        except BaseException:
            self._client.close()
            raise

    def _check_workers(self) -> None:
        for worker in self._client.nthreads():
            check_address(worker)
        own = _version()
        said = self._client.run(_version, on_error="return").values()
        others = {
            one if isinstance(one, str) else "none"
            for one in said
            if not isinstance(one, OSError)  # just died
        }
        if not others:
            raise SlackwaterError("the cluster has no workers; start some ('dask worker')")
        if others != {own}:
            raise SlackwaterError(
                f"the cluster's workers have slackwater {', '.join(sorted(others))}, not {own}"
            )

    @property
    def capacity(self) -> int:
        """How many parts to give out at once."""
        return self._capacity

    def submit(self, task: Callable[[A], B], part: A) -> Any:  # noqa: ANN401 - a future
        """Give out a part; raises `SlackwaterError` if the scheduler is gone."""
        try:
            return self._client.submit(task, part, pure=False)
        except Exception:
            if self._client.status == "running":
                raise
            raise self._gone() from None

    def result(self, future: Any) -> Any:  # noqa: ANN401
        """Wait for it; raises `LostError` if its worker died, `SlackwaterError` if all did and none comes."""
        from distributed import CancelledError, KilledWorker

        alone = 0
        while alone < _LONELY:
            try:
                return future.result(timeout=_PATIENCE_S)
            except (KilledWorker, CancelledError):
                raise LostError from None
            except TimeoutError:
                if future.status == "error":  # the work's own
                    raise
                alone = 0 if self._has_workers() else alone + 1
        raise self._gone()

    def _has_workers(self) -> bool:
        try:
            return bool(self._client.nthreads())
        except OSError:
            return False

    def _gone(self) -> SlackwaterError:
        return SlackwaterError(
            f"the cluster at {self._address} lost its scheduler or all its workers; nothing is lost; "
            "start them and run this again"
        )

    def close(self) -> None:
        """Close the client."""
        self._client.close()


def _version() -> str:
    from importlib.metadata import version

    return version("slackwater")


def check_address(address: str) -> None:
    """Refuse an address over which people's data would travel in the clear; raises `UsageError`."""
    try:
        found = urlsplit(address)
        whole = found.scheme in {"tls", "tcp"} and found.hostname and found.port
    except ValueError:
        whole = False
    if not whole:
        raise UsageError(f"{address!r} is no cluster; write it as tls://host:8786")
    if found.scheme == "tcp" and found.hostname not in _HERE:
        raise UsageError(
            f"{address} does not encrypt, and tcp:// is for this machine only; write tls://host:8786"
        )


def _security(library: Any, address: str) -> Any:  # noqa: ANN401 - Dask's own
    """Return the certificates to show and to trust, tried before anybody is asked for anything."""
    if not address.startswith("tls:"):
        return None
    security = library.Security(require_encryption=True)
    files = {name: getattr(security, field) for name, field in _FILES.items()}
    missing = " and ".join(_NAMES + name for name in _NEEDED if not files[name])
    if missing:
        raise UsageError(
            f"tls:// needs certificates: name their files in {missing}, the key's in CLIENT__KEY"
        )
    for name, file in files.items():
        try:
            if file and "\n" not in file:  # else it is the certificate itself
                Path(file).open("rb").close()
        except OSError as error:
            raise UsageError(f"cannot read {file}: {error.strerror}; mend {_NAMES}{name}") from None
    try:
        security.get_connection_args("client")
    except (ssl.SSLError, ValueError) as error:
        why = str(getattr(error, "reason", None) or "no key").lower().replace("_", " ")
        raise UsageError(
            f"the certificates cannot be used ({why}); mend {_NAMES}CA_FILE, CLIENT__CERT or CLIENT__KEY"
        ) from None
    return security


def _knock(address: str, context: ssl.SSLContext | None) -> None:
    """Find out at once whether somebody is there and both take the other's certificate.

    Dask would go on trying, and would not say why. A scheduler speaks first, so nothing is sent: what it
    says then is its greeting, or why it refuses.
    """
    found = urlsplit(address)
    try:
        with socket.create_connection((found.hostname, found.port or 0), timeout=_PATIENCE_S) as plain:
            if context is not None:
                with context.wrap_socket(plain) as ciphered:
                    ciphered.recv(1)
    except ssl.SSLCertVerificationError as error:
        raise SlackwaterError(
            f"the certificate of {address} is not trusted: {error.verify_message}; "
            f"is {_NAMES}CA_FILE that cluster's?"
        ) from None
    except ssl.SSLError as error:
        if "ALERT" not in str(error.reason):
            raise _no_scheduler(address) from None
        raise SlackwaterError(
            f"{address} does not take this certificate; is {_NAMES}CLIENT__CERT signed for that cluster?"
        ) from None
    except OSError as error:
        why = error.strerror or "no answer"
        raise SlackwaterError(f"cannot reach the cluster at {address}: {why}; is its scheduler on?") from None


def _no_scheduler(address: str) -> SlackwaterError:
    other = "tcp" if address.startswith("tls:") else "tls"
    return SlackwaterError(
        f"{address} does not answer as a scheduler; is it one, and of this version? Or is it {other}://?"
    )
