"""Messages to phones and mailboxes, through the many services that apprise knows by URL.

One URL a channel, and one recipient a URL: what failed can be tried again without sending
twice to whoever already got it. Nothing said here, raised or logged, holds a part of the URL.
"""

from __future__ import annotations

import logging
import re
from functools import cache, partial
from types import ModuleType
from typing import Any

from irrigate.errors import DeliveryError
from irrigate.outside.channels.attempt import Attempt
from irrigate.outside.channels.plain_text import body_of, title_of
from irrigate.outside.secrets import Secret
from irrigate.ports import Message

# What a failure looks like in the library's own log, what we say of it, and whether the message
# may have arrived all the same. The first that is found counts; the log itself is never shown,
# for it may quote addresses, paths and answers.
_CAUSES: tuple[tuple[re.Pattern[str], str, bool], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), said, perhaps_delivered)
    for pattern, said, perhaps_delivered in (
        (r"recipient.{0,300}refused|Socket Exception: \{", "the address was refused", False),
        (r"AuthenticationError|\(535\b|\(534\b", "signing in was refused", False),
        (r"\berror=(?P<code>\d{3})\b", "the server answered {code}", False),
        (r"Connection refused", "the connection was refused", False),
        (r"Name or service not known|name resolution|getaddrinfo|No address associated",
         "the server's name was not found", False),
        (r"No route to host|Network is unreachable", "there is no way to the server", False),
        (r"certificate verify failed|SSLError|SSLCert|\bTLS\b",
         "the secure connection failed", False),
        (r"connect timeout|ConnectTimeout", "the server did not answer", False),
        (r"timed out|timeout", "no answer came in time", True),
        (r"unexpectedly closed|RemoteDisconnected|reset by peer|Connection aborted|Broken pipe",
         "the connection broke off", True),
    )
)  # fmt: skip


# So many deliveries that took too long are remembered, to learn later how they ended.
_REMEMBERED = 16


class AppriseChannel:
    """One way to one recipient, by a URL of apprise's; the URL is only read on first delivery.

    Parameters
    ----------
    answer_within_s : wait for each answer of the server [s].
    whole_within_s : wait for the delivery as a whole [s]. One that takes longer goes on by itself,
        and its message is not sent anew before it has ended.
    pause_s : longest pause between two requests, where the service asks for one [s].
    """

    def __init__(
        self,
        name: str,
        url: Secret,
        *,
        answer_within_s: float = 10.0,
        whole_within_s: float = 30.0,
        pause_s: float = 1.0,
    ) -> None:
        self.name = name
        self._url = url
        self._answer_within_s = answer_within_s
        self._whole_within_s = whole_within_s
        self._pause_s = pause_s
        self._sender: Any = None
        self._left: dict[tuple[str, str], Attempt] = {}

    def check(self) -> None:
        """Raise `DeliveryError` if the URL cannot be used; nothing is sent."""
        self._ready()

    def deliver(self, message: Message) -> None:
        """Send the message as plain text, or raise `DeliveryError`."""
        identity = (message.key, message.person.name)
        attempt = self._left.pop(identity, None)
        if attempt is None:
            if not all(other.ended(0.0) for other in self._left.values()):
                raise DeliveryError(f"{self.name}: an earlier delivery has not ended yet")
            attempt = self._begun(message)
        if not attempt.ended(self._whole_within_s):
            self._left[identity] = attempt
            for oldest in list(self._left)[:-_REMEMBERED]:
                del self._left[oldest]
            raise DeliveryError(
                f"{self.name}: not delivered: no answer came in time", perhaps_delivered=True
            )
        self._judge(attempt)

    def _begun(self, message: Message) -> Attempt:
        """Begin to send the message."""
        apprise, sender = _apprise(), self._ready()
        title, body = title_of(message), body_of(message)
        if not (title or body):
            raise DeliveryError(f"{self.name}: the message is empty", final=True)
        notify = partial(
            sender.notify,
            title=title if body else "",
            body=body or title,  # most services refuse a title alone
            notify_type=apprise.NotifyType.WARNING if message.urgent else apprise.NotifyType.INFO,
            body_format=apprise.NotifyFormat.TEXT,
            interpret_escapes=False,
            log_level=logging.DEBUG,
        )
        return Attempt(notify)

    def _judge(self, attempt: Attempt) -> None:
        """Raise what the outcome means, by its attempts: `optional` in a URL makes any truthy."""
        if attempt.surprise is not None:
            kind = type(attempt.surprise).__name__  # its text may hold the URL
            raise DeliveryError(f"{self.name}: unexpected {kind}", perhaps_delivered=True)
        result = attempt.outcome
        success = _apprise().AppriseResultStatus.SUCCESS
        outcomes = [one.status == success for service in result for one in service]
        if outcomes and outcomes[-1]:
            return
        said, perhaps_delivered = _cause([entry.message for entry in result.logs()])
        if any(outcomes):
            # Somebody has it; sending again would reach them twice.
            raise DeliveryError(f"{self.name}: only a part arrived ({said})", final=True)
        raise DeliveryError(
            f"{self.name}: not delivered: {said}", perhaps_delivered=perhaps_delivered
        )

    def _ready(self) -> Any:
        if self._sender is None:
            self._sender = self._made()
        return self._sender

    def _made(self) -> Any:
        """Return apprise's object for the URL, held to what we allow."""
        apprise = _apprise()
        url = self._url.reveal()
        if len(apprise.utils.parse.parse_urls(url)) > 1:
            raise self._unusable("it holds several addresses: give each a way of its own")
        asset = apprise.AppriseAsset(
            app_id="irrigate",
            app_desc="irrigate",
            app_url="",
            storage_mode="memory",  # nothing of a message is left on disk
            image_path_mask=False,
            allow_templates=False,
            async_mode=False,
            service_timeout=0,  # it would leave the delivery running, and tell nobody how it ended
            pgp_autogen=False,
            pem_autogen=False,
            interpret_escapes=False,
            interpret_emojis=False,
            # A redirected POST becomes a GET: the message is lost, and the answer is a success.
            http_redirects=False,
        )
        try:
            service = apprise.Apprise.instantiate(url, asset=asset, suppress_exceptions=False)
        except Exception:  # noqa: BLE001 - some plugins raise what they like, with the URL in it
            service = None
        if service is None:
            raise self._unusable("it is not understood: look for a slip in it")
        service.retry = 0  # the outbox tries again, and says so
        if len(service) != 1 or getattr(service, "cc", None) or getattr(service, "bcc", None):
            raise self._unusable("it reaches several recipients: give each a way of its own")
        service.redirects = False
        service.overflow_mode = apprise.OverflowMode.SPLIT  # a list cut short leaves pots out
        # Mail knows no time but that of connecting, and applies it to every answer.
        service.socket_connect_timeout = service.socket_read_timeout = self._answer_within_s
        service.request_rate_per_sec = min(service.request_rate_per_sec, self._pause_s)
        sender = apprise.Apprise(asset=asset)
        sender.add(service)
        return sender

    def _unusable(self, why: str) -> DeliveryError:
        return DeliveryError(f"{self.name}: the URL cannot be used; {why}", final=True)


@cache
def _apprise() -> ModuleType:
    """Import apprise on first use: most runs never send, and it takes 36 MiB."""
    # What the library logs may quote URLs, tokens and passwords: it is read for causes (`_cause`)
    # and goes nowhere else. The layer below it quotes paths, until it is told not to.
    log = logging.getLogger("apprise")
    log.addHandler(logging.NullHandler())
    log.setLevel(logging.DEBUG)
    log.propagate = False
    http = logging.getLogger("urllib3")
    http.setLevel(max(http.level, logging.WARNING))
    import apprise
    import apprise.utils.parse

    return apprise


def _cause(log: list[str]) -> tuple[str, bool]:
    """Return what the log says of the failure, in our words, and whether it may have arrived."""
    # The lines that hold the message itself may hold any words.
    text = "\n".join(line for line in log if "Payload" not in line and " URL" not in line)
    for pattern, said, perhaps_delivered in _CAUSES:
        if found := pattern.search(text):
            return said.format(**found.groupdict()), perhaps_delivered
    return "it was not accepted", False
