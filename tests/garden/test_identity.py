"""Labels come, go and change; who is who does not."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, rule

from irrigate.errors import InputError
from irrigate.garden.crops import Crop
from irrigate.garden.events import PotSeen
from irrigate.garden.identity import Identified, identified
from irrigate.garden.media import Medium
from irrigate.garden.pots import Garden, Manner, Person, Place, Pot, RoundTime, Site
from irrigate.garden.vessels import RoundTaper

START = datetime(2025, 4, 1, 8, tzinfo=UTC)
PEPPER = Crop("pepper", 0.7, 0.5, 1.0, 0.8, (), 0.3, 2.5, 100.0, "even", True, "invented")
MIX = Medium("mix", 0.1, 0.9, 0.1, 1.5, 0.2, 5.0, 0.2)
PAIL = RoundTaper(0.3, 0.25, 0.3)

Renames = tuple[tuple[str, str], ...]


def garden_of(*labels: str, name: str = "yard") -> Garden:
    """Describe a garden with pots of these labels, without identities."""
    pots = tuple(
        Pot("", "", "", label, f"pot {label}", PEPPER, MIX, PAIL, "patio", 0.3, 0.4)
        for label in labels
    )
    return Garden(
        name, Site(45.0, 5.0, 200.0, "UTC"), (Place("patio"),), pots,
        (RoundTime(time(7)),), (Person("Ana"),), Manner(),
    )  # fmt: skip


class Book:
    """What a journal would remember from one reading of the garden file to the next."""

    def __init__(self) -> None:
        self.known: list[PotSeen] = []
        self.labels: list[str] = []
        self.now = START

    def reads(self, *labels: str, renamed: Renames = ()) -> Identified:
        """Read a garden file, and remember what came of it."""
        self.now += timedelta(days=1)
        result = identified(garden_of(*labels), self.known, self.labels, renamed, self.now)
        self.known += result.seen
        self.labels = list(labels)
        return result


def ids(result: Identified) -> dict[str, tuple[str, str, str]]:
    """Return the three identities by label."""
    return {pot.label: (pot.id, pot.vessel_id, pot.plant_id) for pot in result.garden.pots}


def test_new_pots_get_three_identities_each() -> None:
    """All are different, short, say what they are of, and are told as facts."""
    result = Book().reads("1", "2", "ü")
    flat = [one for three in ids(result).values() for one in three]
    assert len(set(flat)) == 9
    assert {one[:2] for one in flat} == {"p-", "v-", "g-"}
    assert all(len(one) == 10 and one[2:].isalnum() and one == one.lower() for one in flat)
    assert [(seen.label, (seen.pot_id, seen.vessel_id, seen.plant_id)) for seen in result.seen] == (
        list(ids(result).items())
    )
    assert (result.added, result.gone) == (("1", "2", "ü"), ())


def test_nothing_but_the_identities_is_changed() -> None:
    """The garden comes back as it was described otherwise, in its order."""
    result = Book().reads("2", "1")
    assert [pot.label for pot in result.garden.pots] == ["2", "1"]
    assert result.garden.pots[0].crop == PEPPER
    assert result.garden.site == garden_of().site


def test_a_label_that_stays_keeps_its_identities() -> None:
    """Reading the same labels again tells nothing new."""
    book = Book()
    first = book.reads("1", "2")
    second = book.reads("2", "1")
    assert ids(first) == ids(second)
    assert (second.seen, second.added, second.gone) == ((), (), ())


def test_a_renamed_pot_takes_its_identities_along() -> None:
    """The new label is told as a fact; nothing was added, nothing is gone."""
    book = Book()
    first = book.reads("7", "9")
    second = book.reads("8", "9", renamed=(("7", "8"),))
    assert ids(second) == {"8": ids(first)["7"], "9": ids(first)["9"]}
    assert second.seen == (PotSeen("8", *ids(first)["7"]),)
    assert (second.added, second.gone) == ((), ())


def test_a_renaming_left_in_the_file_does_nothing_more() -> None:
    """Even when a new pot has taken the old label meanwhile."""
    book = Book()
    first = book.reads("7")
    was = (("7", "8"),)
    book.reads("8", renamed=was)
    again = book.reads("8", renamed=was)
    with_a_new_seven = book.reads("8", "7", renamed=was)
    at_last = book.reads("7", "8", renamed=was)
    assert ids(again)["8"] == ids(first)["7"]
    assert ids(with_a_new_seven)["8"] == ids(first)["7"] != ids(with_a_new_seven)["7"]
    assert ids(at_last) == ids(with_a_new_seven)
    assert again.seen == at_last.seen == ()


def test_pots_can_swap_their_labels_and_move_on_in_a_row() -> None:
    """Renamings are carried out all at once, and once only."""
    book = Book()
    first = ids(book.reads("1", "2", "3"))
    swap = (("1", "2"), ("2", "1"))
    for _ in range(2):
        swapped = ids(book.reads("1", "2", "3", renamed=swap))
        assert swapped == {"1": first["2"], "2": first["1"], "3": first["3"]}
    moved = ids(book.reads("2", "3", "4", renamed=(("1", "2"), ("2", "3"), ("3", "4"))))
    assert moved["4"] == first["3"]


def test_a_pot_renamed_onto_one_that_goes_replaces_it() -> None:
    """Eight is taken away and seven becomes eight: the identities are those of seven."""
    book = Book()
    first = ids(book.reads("7", "8"))
    second = book.reads("8", renamed=(("7", "8"),))
    assert ids(second)["8"] == first["7"]
    assert second.gone == ("8",)


def test_a_label_used_again_is_a_new_pot() -> None:
    """What was removed does not come back with its number."""
    book = Book()
    first = book.reads("1", "2")
    without = book.reads("1")
    back = book.reads("1", "2")
    assert without.gone == ("2",)
    assert back.added == ("2",)
    assert ids(back)["1"] == ids(first)["1"]
    assert not set(ids(back)["2"]) & set(ids(first)["2"])


def test_a_removal_beside_an_addition_is_told_and_not_guessed() -> None:
    """They may be one pot: the result names both, so that somebody can be asked."""
    book = Book()
    first = book.reads("1", "2")
    second = book.reads("1", "3")
    assert (second.added, second.gone) == (("3",), ("2",))
    assert ids(second)["3"] != ids(first)["2"]


def test_a_file_that_outlived_its_journal_is_read_as_new() -> None:
    """With no version before, old renamings have nothing to rename."""
    result = Book().reads("8", renamed=(("7", "8"),))
    assert result.added == ("8",)


@pytest.mark.parametrize(
    ("labels", "renamed", "says"),
    [
        (("1", "2", "1"), (), "pot 1 is described twice"),
        (("3",), (("1", "3"), ("2", "3")), "pot 3 cannot have been two pots"),
        (("3", "4"), (("1", "3"), ("1", "4")), "two pots cannot both have been pot 1"),
        (("3",), (("9", "3"),), "pot 3 says it was pot 9, but there was no pot 9 before"),
    ],
)
def test_what_cannot_be_is_refused(labels: tuple[str, ...], renamed: Renames, says: str) -> None:
    """The text names the pots and says how to mend it."""
    book = Book()
    book.reads("1", "2")
    with pytest.raises(InputError, match=says):
        book.reads(*labels, renamed=renamed)


@given(
    st.lists(st.text(), unique=True, max_size=8), st.datetimes(timezones=st.just(UTC)), st.text()
)
def test_minting_is_repeatable(labels: list[str], now: datetime, name: str) -> None:
    """The same garden at the same moment gets the same identities, in whatever order it stands."""
    one = identified(garden_of(*labels, name=name), [], [], (), now)
    other = identified(garden_of(*reversed(labels), name=name), [], [], (), now)
    assert ids(one) == ids(other)


def test_an_identity_is_never_given_twice() -> None:
    """Even the same label at the same moment is minted anew if its identities are taken."""
    first = identified(garden_of("1"), [], [], (), START)
    second = identified(garden_of("1"), first.seen, [], (), START)
    third = identified(garden_of("1"), [*first.seen, *second.seen], [], (), START)
    flat = [one for result in (first, second, third) for one in ids(result)["1"]]
    assert len(set(flat)) == 9


LABELS = [str(number) for number in range(6)]


class GardenersLife(RuleBasedStateMachine):
    """A model that follows each pot by hand, against identities that follow by label."""

    def __init__(self) -> None:
        super().__init__()
        self.book = Book()
        self.mine: dict[str, int] = {}  # the number of the pot that bears each label
        self.number = 0
        self.identity: dict[int, tuple[str, str, str]] = {}

    def read(self, renamed: Renames = ()) -> None:
        """Read the file as it stands, and compare every pot with its own past."""
        result = self.book.reads(*self.mine, renamed=renamed)
        for label, three in ids(result).items():
            number = self.mine[label]
            assert self.identity.setdefault(number, three) == three
        flat = [one for three in self.identity.values() for one in three]
        assert len(set(flat)) == 3 * len(self.identity)

    @rule(label=st.sampled_from(LABELS))
    def add(self, label: str) -> None:
        """Put a new pot under a free label."""
        if label not in self.mine:
            self.number += 1
            self.mine[label] = self.number
        self.read()

    @rule(label=st.sampled_from(LABELS))
    def remove(self, label: str) -> None:
        """Take a pot away."""
        self.mine.pop(label, None)
        self.read()

    @rule(old=st.sampled_from(LABELS), new=st.sampled_from(LABELS), twice=st.booleans())
    def rename(self, old: str, new: str, twice: bool) -> None:
        """Give a pot a free label, and perhaps leave the renaming in the file a while."""
        if old in self.mine and new not in self.mine:
            self.mine[new] = self.mine.pop(old)
            for _ in range(1 + twice):
                self.read(((old, new),))


TestAGardenersLife = GardenersLife.TestCase
TestAGardenersLife.settings = settings(max_examples=40, stateful_step_count=20, deadline=None)
