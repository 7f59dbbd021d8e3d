"""Asking a server for JSON: patient with trouble, and with a limit to everything."""

from __future__ import annotations

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from email.utils import parsedate_to_datetime
from typing import Any, NoReturn, Self

import requests
import urllib3
from requests.adapters import HTTPAdapter
from urllib3.exceptions import HTTPError, MaxRetryError, ResponseError
from urllib3.util.retry import Retry

from irrigate.errors import WeatherError

TROUBLE = (429, 500, 502, 503, 504)
USER_AGENT = "irrigate (home garden; one request an hour)"
CHUNK_BYTES = 64 * 1024
JSON_KINDS = ("application/json", "application/geo+json")
FRESH, DEPRECATED, NOT_MODIFIED, WRONG = 200, 203, 304, 400
# No forecast is good for longer, whatever a header says.
LONGEST_FRESH_S = 12 * 3600.0


class _PatientRetry(Retry):
    """Retries that wait as a server asks, but do not sit through a long wait.

    A ``Retry-After`` beyond ``longest_wait_s`` ends the retries; the answer is handed back, and
    the next question is not put before the time that it names.
    """

    longest_wait_s = 30.0

    def new(self, **changed: Any) -> Self:
        """Return the next state of the retries, which is to wait no longer than this one."""
        following = super().new(**changed)
        following.longest_wait_s = self.longest_wait_s
        return following

    def increment(
        self,
        method: str | None = None,
        url: str | None = None,
        response: Any = None,
        error: Exception | None = None,
        _pool: Any = None,
        _stacktrace: Any = None,
    ) -> Self:
        """Return the retries that are left, or give up if the server asks for a long wait."""
        wait_s = self.get_retry_after(response) if response is not None else None
        if wait_s is not None and wait_s > self.longest_wait_s:
            raise MaxRetryError(_pool, url or "", ResponseError(f"asked to wait {wait_s:.0f} s"))
        return super().increment(method, url, response, error, _pool, _stacktrace)


@dataclass(frozen=True, slots=True)
class Answer:
    """What a server answered.

    Parameters
    ----------
    json : what it says; None where it is still what it was (304).
    last_modified : the header, to be sent back exactly as it came; empty if there was none.
    fresh_s : for how long it need not be asked again, by its own clock [s]; 0 if it does not say.
    deprecated : the server announces that this way of asking will end (203).
    """

    json: object
    last_modified: str = ""
    fresh_s: float = 0.0
    deprecated: bool = False


class JsonOverHttp:
    """One way of asking: retries, waits and limits.

    Parameters
    ----------
    user_agent : who asks; some services demand a way to reach whoever it is.
    connect_s, read_s : longest wait for a connection, and for the next bytes [s].
    whole_s : longest time that one body may take to arrive [s].
    most_bytes : largest body that is read.
    retries : how many times trouble (429, 5xx, no connection) is asked again.
    pause_s : first pause between them, doubled each time, with as much jitter again [s].
    longest_wait_s : longest ``Retry-After`` that is waited for; a longer one is kept in mind [s].
    """

    def __init__(
        self,
        *,
        user_agent: str = USER_AGENT,
        connect_s: float = 10.0,
        read_s: float = 20.0,
        whole_s: float = 60.0,
        most_bytes: int = 4 * 1024 * 1024,
        retries: int = 3,
        pause_s: float = 2.0,
        longest_wait_s: float = 30.0,
    ) -> None:
        self._timeout = (connect_s, read_s)
        self._whole_s = whole_s
        self._most_bytes = most_bytes
        self._not_before: dict[str, datetime] = {}
        retry = _PatientRetry(
            total=retries,
            allowed_methods={"GET"},
            status_forcelist=TROUBLE,
            backoff_factor=pause_s,
            backoff_jitter=pause_s,
            backoff_max=longest_wait_s,
            raise_on_status=False,
            redirect=False,
        )
        retry.longest_wait_s = longest_wait_s
        self._session = requests.Session()
        self._session.headers.update(
            {
                "User-Agent": user_agent,
                "Accept": ", ".join(JSON_KINDS),
                "Accept-Encoding": "gzip",
            }
        )
        for scheme in ("https://", "http://"):
            self._session.mount(scheme, HTTPAdapter(max_retries=retry))

    def get(self, url: str, question: Mapping[str, str], now: datetime) -> object:
        """Return the JSON that the server answers with, or raise `WeatherError`.

        An answer with status 400 is returned as well if it is JSON: it says what was wrong.
        """
        return self.ask(url, question, now).json

    def ask(
        self, url: str, question: Mapping[str, str], now: datetime, *, modified_since: str = ""
    ) -> Answer:
        """Return the answer with what its headers say of its age, or raise `WeatherError`.

        ``modified_since`` is the ``last_modified`` of an answer that is still at hand.
        """
        host = _host(url)
        wait_until = self._not_before.get(host)
        if wait_until is not None and now < wait_until:
            raise WeatherError(
                f"the weather server asked to be left alone until {wait_until:%H:%M} UTC"
            )
        try:
            with self._session.get(
                url,
                params=question,
                timeout=self._timeout,
                allow_redirects=False,
                stream=True,
                headers={"If-Modified-Since": modified_since} if modified_since else None,
            ) as response:
                if response.status_code == NOT_MODIFIED and modified_since:
                    return Answer(None, modified_since, _fresh_s(response.headers))
                self._check(response, host, now)
                return Answer(
                    parsed_json(self._body(response, host), host),
                    response.headers.get("Last-Modified", ""),
                    _fresh_s(response.headers),
                    response.status_code == DEPRECATED,
                )
        except requests.RequestException as trouble:
            raise WeatherError(f"{host} cannot be asked: {_plain(trouble)}") from trouble
        except (HTTPError, OSError) as trouble:
            raise WeatherError(f"{host} broke off: {_plain(trouble)}") from trouble

    def _check(self, response: requests.Response, host: str, now: datetime) -> None:
        """Raise unless the answer is JSON with a status that is worth reading."""
        status = response.status_code
        if 300 <= status < 400:
            raise WeatherError(
                f"{host} sends us elsewhere (status {status}), which is not followed"
            )
        if status not in (FRESH, DEPRECATED, WRONG):
            self._give_up(response, host, now)
        kind = response.headers.get("Content-Type", "").partition(";")[0].strip().lower()
        if kind not in JSON_KINDS:
            raise WeatherError(
                f"{host} answers with {kind or 'something'} instead of weather;"
                " is there a log-in page between this network and the internet?"
            )

    def _give_up(self, response: requests.Response, host: str, now: datetime) -> NoReturn:
        status = response.status_code
        wait_s = _PatientRetry().get_retry_after(response.raw)
        if wait_s:
            # A day at most: a mistaken header must not silence the weather for good.
            self._not_before[host] = now + timedelta(seconds=min(wait_s, 86_400.0))
            raise WeatherError(
                f"{host} is in trouble (status {status}) and asks to wait {wait_s:.0f} s"
            )
        if status in (401, 403):
            raise WeatherError(f"{host} refuses to answer us (status {status})")
        if status == 404:
            raise WeatherError(f"{host} knows nothing of this place (status {status})")
        raise WeatherError(f"{host} is in trouble (status {status})")

    def _body(self, response: requests.Response, host: str) -> bytes:
        """Return the body, read piece by piece against the limits of size and time."""
        started = time.monotonic()
        pieces: list[bytes] = []
        size = 0
        while True:
            # read1 gives what has come; a plain read would wait for the whole piece.
            piece = response.raw.read1(CHUNK_BYTES, decode_content=True)
            if not piece:
                return b"".join(pieces)
            pieces.append(piece)
            size += len(piece)
            if size > self._most_bytes:
                raise WeatherError(f"{host} sends more than {self._most_bytes} bytes")
            if time.monotonic() - started > self._whole_s:
                raise WeatherError(f"{host} takes more than {self._whole_s:g} s to answer")


def _fresh_s(headers: Mapping[str, str]) -> float:
    """Return for how long an answer stays good [s], by the server's own clock alone."""
    try:
        until = parsedate_to_datetime(headers.get("Expires", ""))
        begun = parsedate_to_datetime(headers.get("Date", ""))
    except (TypeError, ValueError):
        return 0.0
    # A header may come without a zone; by the standard it is GMT.
    until, begun = (at if at.tzinfo else at.replace(tzinfo=UTC) for at in (until, begun))
    return min(max((until - begun).total_seconds(), 0.0), LONGEST_FRESH_S)


def parsed_json(body: bytes, host: str) -> object:
    """Return what the bytes say in JSON, or raise `WeatherError`; NaN and Infinity are not JSON."""
    try:
        return json.loads(body.decode("utf-8"), parse_constant=_refuse_constant)
    except (ValueError, RecursionError) as trouble:
        raise WeatherError(f"{host} sends JSON that breaks off or is damaged") from trouble


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(name)


def _host(url: str) -> str:
    try:
        return urllib3.util.parse_url(url).host or "the weather server"
    except HTTPError:
        return "the weather server"


def _plain(trouble: Exception) -> str:
    """Return the innermost cause of a chain of wrapped errors, in a few words."""
    text = str(trouble)
    for kind, words in (
        ("NameResolutionError", "its name is not known (is there a connection to the internet?)"),
        ("ConnectTimeout", "no connection in time"),
        ("Read timed out", "no answer in time"),
        ("Connection refused", "the connection is refused"),
        ("CertificateError", "its certificate is not trusted"),
        ("CERTIFICATE_VERIFY_FAILED", "its certificate is not trusted"),
    ):
        if kind in text:
            return words
    return text if len(text) <= 200 else text[:200] + "…"
