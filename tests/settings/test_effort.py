"""What one round may take, as the garden file says it."""

from __future__ import annotations

import pytest

from irrigate.cli.check import report
from irrigate.errors import GardenFileError
from irrigate.settings import readers
from irrigate.settings.garden_file import settings_of
from tests.settings.gardens import GARDEN, changed


@pytest.mark.parametrize(
    ("text", "litres"), [("6 cans", 48.0), ("1 can", 8.0), ("50 L", 50.0), ("20 min", 240.0)]
)
def test_cans_volumes_and_times_are_litres(text: str, litres: float) -> None:
    """Cans of 8 L, litres, and minutes of a hose of 0.2 L/s, by plain multiplication."""
    assert readers.effort_l(text, can_l=8.0, hose_l_s=0.2) == pytest.approx(litres)


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("plenty", "plenty: write cans, a volume or a time, as in 6 cans"),
        ("0 L", "0 L: must be more than nothing; take the line out for no limit"),
        ("20 min", "20 min: for a time, say how fast the hose is, as in hose: 10 L in 40 s"),
    ],
)
def test_what_cannot_be_is_told_with_its_line(text: str, wrong: str) -> None:
    """The garden file is refused in words that say how to mend it."""
    with pytest.raises(GardenFileError) as refused:
        settings_of(changed("can: 2 gal\n", f"can: 2 gal\nat most: {text}\n"))
    assert wrong in str(refused.value)


def test_check_says_how_it_was_read() -> None:
    """Two cans of 2 gal are 4 gal at a round; without a limit nothing is said of one."""
    limited = settings_of(changed("can: 2 gal\n", "can: 2 gal\nat most: 2 cans\n"))
    assert "at most 4 gal at a round" in "\n".join(report(limited))
    assert "at most" not in "\n".join(report(settings_of(GARDEN)))
