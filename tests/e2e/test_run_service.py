"""The service as it runs: started for real, on loopback, told to the phone, answered, stopped."""

from __future__ import annotations

import signal
from pathlib import Path

from irrigate.errors import JournalError
from irrigate.garden.events import Delivered, GardenVersion, Given, RoundAnswered, TillRan
from irrigate.outside.journal.sqlite import SqliteJournal
from tests.e2e.running_service import garden_text, phone, running, summer_site, weather


def facts_in(folder: Path, *kinds: type) -> list[object]:
    """Return the bodies of some kinds in the journal of a running service."""
    journal = SqliteJournal(folder / "state" / "journal.sqlite", read_only=True)
    try:
        return [fact.body for fact in journal.facts(kinds)]
    finally:
        journal.close()


def test_a_message_comes_before_the_round_and_an_answer_is_taken_in(tmp_path: Path) -> None:
    """Twelve pots, a round in ten minutes: the message comes, "all" is logged, SIGTERM is clean."""
    site = summer_site()
    (tmp_path / "garden.yaml").write_text(garden_text(site))
    with phone() as receiver, weather(site) as url, running(tmp_path, receiver.url, url) as service:
        service.until_notified("READY=1")
        message = service.until(lambda: receiver.received and receiver.received[0])
        assert "water" in message["title"]
        assert "Answer: all" in message["message"]
        answered = service.command("log", "all")
        assert answered.returncode == 0, answered.stderr
        assert answered.stdout.startswith("logged: ")
        service.until(lambda: facts_in(tmp_path, RoundAnswered))
        assert facts_in(tmp_path, Given, TillRan)
        service.until_notified("WATCHDOG=1")
        assert service.end() == 0
        service.until_notified("STOPPING=1")
    log = (tmp_path / "log.txt").read_text()
    assert "Traceback" not in log
    assert receiver.url not in log
    assert len(receiver.received) == 1


def test_killed_and_started_again_it_says_nothing_twice(tmp_path: Path) -> None:
    """A delivered message is not sent again after a kill, and the answers survive it."""
    site = summer_site()
    (tmp_path / "garden.yaml").write_text(garden_text(site))
    with phone() as receiver, weather(site) as url:
        with running(tmp_path, receiver.url, url) as service:
            service.until(lambda: facts_in_when_there(tmp_path, Delivered))
            service.end(signal.SIGKILL)
        with running(tmp_path, receiver.url, url) as service:
            service.until_notified("READY=1")
            assert service.command("log", "1", "2 L").returncode == 0
            service.until(lambda: facts_in(tmp_path, Given))
            assert service.end() == 0
        assert len(receiver.received) == 1


def facts_in_when_there(folder: Path, *kinds: type) -> list[object]:
    """Return the bodies of some kinds, or none while the journal is still being made."""
    if not (folder / "state" / "journal.sqlite").exists():
        return []
    try:
        return facts_in(folder, *kinds)
    except JournalError:
        return []


def test_a_phone_that_refuses_gets_the_message_later(tmp_path: Path) -> None:
    """The first attempt is refused, the retry comes through, once."""
    site = summer_site()
    (tmp_path / "garden.yaml").write_text(garden_text(site))
    with phone() as receiver, weather(site) as url:
        receiver.refuse = 1
        with running(tmp_path, receiver.url, url) as service:
            service.until(lambda: receiver.received, within_s=60)
            service.until(lambda: facts_in(tmp_path, Delivered))
            assert service.end() == 0
    assert len(receiver.received) == 1


def test_a_changed_garden_is_read_and_a_broken_one_is_told_of(tmp_path: Path) -> None:
    """A pot more is taken in by itself; a fault keeps the last good garden and names the line."""
    site = summer_site()
    path = tmp_path / "garden.yaml"
    path.write_text(garden_text(site, pots=3))
    with phone() as receiver, weather(site) as url, running(tmp_path, receiver.url, url) as service:
        service.until(lambda: receiver.received)
        path.write_text(garden_text(site, pots=4))
        service.until(lambda: len(facts_in(tmp_path, GardenVersion)) == 2)
        path.write_text(garden_text(site, pots=4).replace("plant: pepper", "plant: peper", 1))
        told = service.until(lambda: len(receiver.received) > 1 and receiver.received[1])
        assert "garden file" in told["title"].lower()
        assert "garden.yaml:" in told["message"]
        assert "did you mean pepper?" in told["message"]
        assert len(facts_in(tmp_path, GardenVersion)) == 2
        assert service.end() == 0


def test_sighup_reads_the_garden_again(tmp_path: Path) -> None:
    """SIGHUP is a request to read the file, and nothing else happens to a running service."""
    site = summer_site()
    (tmp_path / "garden.yaml").write_text(garden_text(site, pots=3))
    with phone() as receiver, weather(site) as url, running(tmp_path, receiver.url, url) as service:
        service.until_notified("READY=1")
        (tmp_path / "garden.yaml").write_text(garden_text(site, pots=5))
        service.process.send_signal(signal.SIGHUP)
        service.until(lambda: len(facts_in(tmp_path, GardenVersion)) == 2)
        assert service.end(signal.SIGINT) == 0


def test_a_broken_garden_at_the_first_start_is_refused(tmp_path: Path) -> None:
    """Without a last good garden there is nothing to run: every fault, exit code 2."""
    (tmp_path / "garden.yaml").write_text("garden: Nowhere\npots: {1: {plant: peper}}\n")
    with running(tmp_path, "json://127.0.0.1:9/", "http://127.0.0.1:9/") as service:
        assert service.process.wait(timeout=20) == 2
    log = (tmp_path / "log.txt").read_text()
    assert "garden.yaml:2:" in log
    assert "Traceback" not in log


def test_two_services_on_one_state_are_refused(tmp_path: Path) -> None:
    """The journal has one writer: a second service says who has it, and leaves."""
    site = summer_site()
    (tmp_path / "garden.yaml").write_text(garden_text(site, pots=2))
    with phone() as receiver, weather(site) as url, running(tmp_path, receiver.url, url) as service:
        service.until_notified("READY=1")
        second = service.command("run")
        assert second.returncode == 1
        assert str(service.process.pid) in second.stderr
        assert "Traceback" not in second.stderr
        assert service.end() == 0
