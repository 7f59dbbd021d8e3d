"""A simulated gardener: reads the messages, waters a real (simulated) garden, answers roughly.

A sibling of the channels and of whoever walks the pots, shipped for the demo, for replays and
for tests. It knows nothing that the words of a message do not tell.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from irrigate import units
from irrigate.garden.draws import normals, uniforms
from irrigate.garden.touch import DRY_BELOW, WET_ABOVE
from irrigate.garden.weather import HourlyWeather
from irrigate.planning.truth import Truth, passed, poured_away, watered
from irrigate.ports import Inbox, Item, Message

DOSE = re.compile(
    r"^\s*(?P<label>[^\s:]+)(?: [^:]*)?: (?:fill(?: the reservoir)?: about )?"
    r"(?P<dose>[^,;:]+?)(?: now)?(?:[,;].*)?$"
)
ASKED = re.compile(r"^One thing I would like to know: (?P<what>.*)\((?P<label>\S+) [^()]*\)$")
STANDS = re.compile(r"^Water has stood .*? under (?P<names>.+?): pour it away")
QUART_L = units.US_GALLON_L / 4.0


@dataclass(frozen=True, slots=True)
class Habits:
    """How this gardener is.

    Parameters
    ----------
    forgets : share of the rounds that are not walked.
    forgets_on : rounds that are surely not walked (UTC).
    silent : share of the walked rounds that are not answered.
    roughly : relative sd of how much is really poured.
    """

    forgets: float = 0.1
    forgets_on: tuple[datetime, ...] = ()
    silent: float = 0.3
    roughly: float = 0.15


class SimulatedGardener:
    """A channel that carries out what it is told, on a garden of its own.

    Parameters
    ----------
    truth : the real garden.
    weather : that really is.
    inbox : where answers go.
    habits : how reliable the gardener is.
    """

    name = "gardener"

    def __init__(
        self, truth: Truth, weather: HourlyWeather, inbox: Inbox, habits: Habits | None = None
    ) -> None:
        self.truth = truth
        self.read: list[Message] = []
        self.walked: list[str] = []
        self.missed: list[str] = []
        self.unanswered: list[str] = []
        self.remarks: list[tuple[datetime, str]] = []
        self.answers: list[tuple[datetime, str]] = []
        self._weather = weather
        self._inbox = inbox
        self._habits = habits or Habits()
        self._to_do: list[tuple[datetime, Message]] = []
        self._to_say: list[tuple[datetime, str, str]] = []

    def deliver(self, message: Message) -> None:
        """Read a message; a warning is acted on within the hour, a round at its time."""
        self.read.append(message)
        self._to_do.append((self._due(message), message))

    def _due(self, message: Message) -> datetime:
        stamp = re.search(r"\d{4}-\d\d-\d\dT\d\d:\d\dZ", message.key)
        if stamp is None:
            return self.truth.standing.belief.at
        told = datetime.fromisoformat(stamp[0])
        return told if message.key.startswith("round") else told + timedelta(minutes=20)

    def live(self, until: datetime) -> None:
        """Let the garden live until a moment, watering whatever falls due before."""
        for at, message in sorted(self._to_do, key=lambda one: one[0]):
            if at <= until:
                self.truth = passed(self.truth, self._weather, at)
                self._act(message, at)
        self._to_do = [one for one in self._to_do if one[0] > until]
        self.truth = passed(self.truth, self._weather, until)
        for at, text, occasion in sorted(self._to_say):
            if at <= until:
                self.answers.append((at, text))
                self.remarks.append((at, f"answered: {text}"))
                key = f"answer to {occasion}"
                self._inbox.put(Item(key, at, "gardener", "simulated", text))
        self._to_say = [one for one in self._to_say if one[0] > until]

    def _act(self, message: Message, at: datetime) -> None:
        chance, silence = uniforms(("gardener", message.key), 2)
        if at in self._habits.forgets_on or chance < self._habits.forgets:
            self.missed.append(message.key)
            self.remarks.append((at, "forgotten"))
            return
        self.walked.append(message.key)
        if "till it runs, twice" in message.title:
            self._water_everything(message, at)
            return
        if message.key.startswith("warning"):
            self._water_warned(message, at)
            return
        emptied = self._pour_away(message)
        looked, filled = self._answer_asked(message)
        asked = self._water_asked(message, filled)
        if not asked and not emptied and not looked:
            return
        if silence >= self._habits.silent:
            whole = f"all but {filled}" if filled in asked and asked != [filled] else "all"
            others = [label for label in asked if label != filled]
            said = [*([whole] if others else []), *looked, *emptied]
            self._say("; ".join(said), at + timedelta(minutes=15), message.key)
        else:
            self.unanswered.append(message.key)
            self.remarks.append((at, "walked, but not answered"))

    def _water_everything(self, message: Message, at: datetime) -> None:
        for row, missing in enumerate(self.truth.to_fill_l):
            self.truth = watered(self.truth, row, float(missing) * 1.05)
        self._say("all", at + timedelta(minutes=45), message.key)

    def _water_warned(self, message: Message, at: datetime) -> None:
        said = [
            f"{label} {dose}"
            for label, dose, _ in self._doses(message)
            if self._pour(label, dose, message.key)
        ]
        if said:
            self._say("; ".join(said), at + timedelta(minutes=5), message.key)

    def _pour_away(self, message: Message) -> list[str]:
        """Empty what the message says water has stood in for too long; return the words for it."""
        found = [STANDS.match(line) for line in message.body.splitlines()]
        words = " ".join(match["names"] for match in found if match is not None).split()
        labels = [word for word in words if self._knows(word)]
        for label in labels:
            self.truth = poured_away(self.truth, self._row(label))
        return [f"{label} saucer emptied" for label in labels]

    def _answer_asked(self, message: Message) -> tuple[list[str], str]:
        """Do what the day's question wants; return the words, and the pot that was filled by it."""
        match = ASKED.match(message.body.rstrip().rpartition("\n")[2])
        if match is None or not self._knows(match["label"]):
            return [], ""
        label, row = match["label"], self._row(match["label"])
        if "till it runs" not in match["what"]:
            share = float(self.truth.share[row])
            feel = "dry" if share < DRY_BELOW else "wet" if share > WET_ABOVE else "moist"
            return ([f"{label} {feel}"] if "wet, moist or dry" in match["what"] else []), ""
        poured = max(float(self.truth.to_fill_l[row]), 0.1)
        self.truth = watered(self.truth, row, poured)
        roughly = 1.0 + 0.1 * float(normals(("tells", message.key, label), 1)[0])
        told_l = poured * max(roughly, 0.5)
        us_units = self.truth.standing.garden.manner.us_units
        told = f"{told_l / QUART_L:.1f} qt" if us_units else f"{told_l:.1f} L"
        return [f"{label} till it ran {told}"], label

    def _water_asked(self, message: Message, filled: str) -> list[str]:
        """Water what the message asks for, but for a pot just filled; return the pots it named."""
        asked = self._doses(message)
        for label, dose, feel in asked:
            row = self._row(label)
            # A finger is not a scale, but it knows dry from wet.
            if label != filled and (not feel or self.truth.share[row] < DRY_BELOW):
                self._pour(label, dose, message.key)
        return [label for label, _, _ in asked]

    def _doses(self, message: Message) -> list[tuple[str, str, bool]]:
        """Return label, dose and whether to feel first, as the message's lines say."""
        found, feel = [], False
        for line in message.body.splitlines():
            feel = feel or line.startswith("Feel first")
            match = DOSE.match(line)
            if match and self._knows(match["label"]) and self._litres(match["dose"]) is not None:
                found.append((match["label"], match["dose"], feel))
        return found

    def _knows(self, label: str) -> bool:
        return self.truth.standing.garden.labelled(label) is not None

    def _row(self, label: str) -> int:
        pots = self.truth.standing.garden.pots
        return next(row for row, pot in enumerate(pots) if pot.label == label)

    def _litres(self, dose: str) -> float | None:
        manner = self.truth.standing.garden.manner
        try:
            return units.volume_l(dose, can_l=manner.can_l, hose_l_s=manner.hose_l_s)
        except ValueError:
            return None

    def _pour(self, label: str, dose: str, occasion: str) -> bool:
        litres = self._litres(dose)
        if litres is None:
            return False
        roughly = 1.0 + self._habits.roughly * float(normals(("pours", occasion, label), 1)[0])
        self.truth = watered(self.truth, self._row(label), litres * max(roughly, 0.3))
        return True

    def _say(self, text: str, at: datetime, occasion: str) -> None:
        self._to_say.append((at, text, occasion))
