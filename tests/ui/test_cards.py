"""The page of cards: shown large, written down only where wanted, somebody called with noise."""

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from carelog.app.programs import PLAYERS, VOICES
from carelog.app.tone import tone
from carelog.domain.entry import Entry
from carelog.domain.flag import Level
from carelog.domain.moment import MINUTE, Moment
from carelog.ui.cards.big import LEAST, BigWords
from carelog.ui.cards.page import CardsPage
from carelog.ui.cards.sound import ToneRinger
from tests.ui.conftest import Opened, Opener
from tests.ui.household import NOW, household
from tests.ui.test_board import press_at, texts
from tests.ui.test_pages import flag, raise_flags

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def cards(opened: Opened) -> Opened:
    """The page of cards."""
    opened.window.do("cards")
    return opened


@pytest.fixture
def programs(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[..., Path]:
    """Makes programs, alone in the PATH, that write down that they were started; where they do."""
    folder, log = tmp_path / "bin", tmp_path / "started"
    folder.mkdir()
    monkeypatch.setenv("PATH", str(folder))

    def made(name: str, does: str = "exit 0") -> Path:
        program = folder / name
        program.write_text(f'#!/bin/sh\necho "{name} $*" >> "{log}"\n{does}\n')
        program.chmod(0o755)
        return log

    return made


def page_of(opened: Opened) -> CardsPage:
    page = opened.shown()
    assert isinstance(page, CardsPage)
    return page


def big(opened: Opened) -> list[str]:
    """What stands there in large letters."""
    found = [each for each in opened.shown().findChildren(BigWords) if each.isVisible()]
    assert all(each.font().pixelSize() >= LEAST for each in found)
    return [each.text() for each in found]


def buttons(widget: QWidget) -> list[QPushButton]:
    return [each for each in widget.findChildren(QPushButton) if each.isVisible()]


def started(log: Path) -> list[str]:
    return log.read_text().splitlines() if log.exists() else []


def test_one_press_shows_a_card_over_the_whole_screen_with_the_time_and_writes_nothing(cards: Opened) -> None:
    cards.press("card_1")
    assert big(cards) == ["I need suction"]
    assert "Since 03:12" in texts(cards.shown())
    assert cards.window.isFullScreen()
    assert not cards.window.rail.isVisible()
    assert "Lucia" not in texts(cards.window.head)
    cards.window.head.refresh()
    assert [each.objectName() for each in buttons(cards.window.head)] == ["go_emergency"]
    assert cards.find("go_emergency").isVisible()
    QTest.keyClick(cards.window.focusWidget(), Qt.Key.Key_Escape)
    assert cards.find("card_1").isVisible()
    assert not cards.window.isFullScreen()
    assert cards.window.rail.isVisible()
    assert cards.written("phrase") == []


def test_a_shaking_hands_second_press_leaves_the_card_there(cards: Opened) -> None:
    press_at(cards.find("card_3"), 10_000)
    press_at(cards.find("shown_close"), 10_300)
    assert big(cards) == ["Something hurts"]
    press_at(cards.find("shown_close"), 11_400)
    assert big(cards) == []


def test_a_card_and_a_subject_are_one_key_each_shown_on_them_and_only_while_single_keys_are_wanted(
    cards: Opened,
) -> None:
    QTest.keyClick(cards.window, Qt.Key.Key_B)
    assert big(cards) == ["Stay with me, please"]
    QTest.keyClick(cards.window, Qt.Key.Key_Escape)
    QTest.keyClick(cards.window, Qt.Key.Key_H)
    assert cards.find("card_1").accessibleName() == "I am afraid"
    assert cards.find("card_1").accessibleDescription() == "key 1"
    cards.window.preferences.change(has_tile_keys=False)
    QTest.keyClick(cards.window, Qt.Key.Key_1)
    assert big(cards) == []


def test_beside_hard_breathing_stands_the_emergency_pages_button(cards: Opened) -> None:
    cards.press("card_1")
    emergency = cards.window.findChild(QWidget, "shown_emergency")
    assert emergency is not None
    assert not emergency.isVisible()
    page_of(cards).put_away()
    cards.pause()
    cards.press("card_2")
    assert big(cards) == ["My breathing is hard"]
    cards.press("shown_emergency")
    assert cards.window.page() == "emergency"
    assert cards.window.rail.isVisible()
    assert not cards.window.isFullScreen()


def test_what_hurts_is_asked_how_much_and_told_by_place_and_number(cards: Opened) -> None:
    cards.window.preferences.change(logs_phrases=True)
    QTest.keyClick(cards.window, Qt.Key.Key_F)
    cards.press("card_4")
    assert big(cards) == ["My chest hurts"]
    places = [cards.find(f"pain_{number}").x() for number in range(11)]
    assert places == sorted(places)
    cards.press("pain_7")
    assert big(cards) == ["My chest hurts: 7 of 10"]
    cards.wait(lambda: len(cards.written("phrase")) == 2)
    assert cards.written("phrase")[1].details == {"text": "My chest hurts: 7 of 10"}


def test_from_something_hurts_one_press_leads_to_where_it_hurts(cards: Opened) -> None:
    cards.press("card_1")
    assert "shown_where" not in {each.objectName() for each in buttons(cards.shown())}
    page_of(cards).put_away()
    cards.pause()
    cards.press("card_3")
    cards.press("shown_where")
    assert cards.find("card_4").accessibleName() == "My chest hurts"
    assert cards.window.rail.isVisible()
    cards.pause()
    cards.press("card_4")
    cards.press("pain_7")
    assert big(cards) == ["My chest hurts: 7 of 10"]


def test_where_wanted_a_card_is_written_down_by_the_person_and_undo_is_one_press_away(opener: Opener) -> None:
    record = household()
    details = {"initials": "NA", "name": "Nima", "role": "self"}
    number = "30000000-0000-7000-8000-000000000001"
    record.entries.append(
        Entry(number, "recorder", Moment(NOW - MINUTE), NOW - MINUTE, "Europe/London", "LR", details)
    )
    opened = opener(record)
    opened.window.do("cards")
    opened.window.preferences.change(logs_phrases=True)
    opened.press("card_1")
    opened.wait(lambda: len(opened.written("phrase")) == 1)
    assert (opened.written("phrase")[0].by, opened.window.desk.recorder.who) == ("NA", "LR")
    page_of(opened).put_away()
    opened.wait(lambda: "Written down: “I need suction”" in texts(opened.shown()))
    opened.press("phrase_undo")
    opened.wait(lambda: "Undone: “I need suction”" in texts(opened.shown()))
    assert opened.written("phrase")[-1].withdrawn


def test_a_message_is_spelled_shown_and_among_the_last_ten(cards: Opened) -> None:
    cards.press("cards_write")
    for name in ("words_1", "words_11", "words_4", "letters_19", "letters_9", "letters_20"):
        cards.press(f"spell_{name}")
    assert cards.find("write_text").text() == "I want to sit"
    cards.press("write_show")
    assert big(cards) == ["I want to sit"]
    page_of(cards).put_away()
    for number in range(11):
        QTest.keyClicks(cards.find("write_text"), f"message {number}")
        QTest.keyClick(cards.find("write_text"), Qt.Key.Key_Return)
        page_of(cards).put_away()
    assert [cards.find(f"message_{n}").text() for n in (1, 10)] == ["message 10", "message 1"]
    assert cards.window.findChild(QWidget, "message_11") is None
    cards.press("message_10")
    assert big(cards) == ["message 1"]


def test_cards_are_changed_in_two_languages_saved_by_a_press_and_taken_back_by_one(cards: Opened) -> None:
    cards.press("cards_change")
    cards.find("card_text_1").setText("Suction, please")
    cards.find("card_also_1").setText("Odessij mnie")
    cards.press("card_earlier_2")
    assert cards.find("card_text_2").text() == "Suction, please"
    cards.press("change_comfort")
    assert "“Needs” isn't saved yet" in texts(cards.shown())
    cards.press("change_needs")
    assert cards.find("card_text_2").text() == "Suction, please"
    assert cards.written("phrase_card") == []
    cards.press("cards_save")
    cards.wait(lambda: len(cards.written("phrase_card")) == 11)
    cards.press("change_cards")
    cards.wait(lambda: cards.find("card_3").accessibleName() == "Suction, please, Odessij mnie")
    assert cards.find("card_2").accessibleName() == "My breathing is hard"
    cards.press("card_3")
    shown = [each.text() for each in cards.shown().findChildren(BigWords) if each.isVisible()]
    assert shown == ["Suction, please", "Odessij mnie"]
    page_of(cards).put_away()
    cards.press("cards_change")
    cards.press("cards_undo")
    cards.wait(lambda: sum(entry.withdrawn for entry in cards.written("phrase_card")) == 11)
    cards.press("change_cards")
    cards.wait(lambda: cards.find("card_1").accessibleName() == "I need suction")


def test_without_a_record_the_ready_made_cards_can_be_shown(opener: Opener) -> None:
    opened = opener(is_missing=True)
    opened.window.preferences.change(logs_phrases=True)
    opened.window.do("cards")
    opened.press("card_3")
    assert big(opened) == ["Something hurts"]


def test_in_huge_letters_calling_yes_no_and_the_first_cards_are_in_sight(cards: Opened) -> None:
    cards.press("reminder_hide")
    cards.window.preferences.change(text_percent=300)
    cards.wait(lambda: all_whole(cards, "cards_call", "quick_1", "quick_2", "card_1", "card_2"))
    assert (cards.window.width(), cards.window.height()) == (1024, 600)
    cards.press("subject_3")
    assert cards.find("card_4").accessibleName() == "My chest hurts"
    cards.window.preferences.change(text_percent=100)
    cards.wait(lambda: cards.find("cards_change").y() == cards.find("cards_call").y())


def test_letters_to_spell_with_are_in_sight_at_200_per_cent(cards: Opened) -> None:
    cards.press("reminder_hide")
    cards.window.preferences.change(text_percent=200)
    cards.press("cards_write")
    needed = ("write_text", "write_show", "write_back", "spell_words_12", "spell_letters_26")
    cards.wait(lambda: all_whole(cards, *needed))
    assert (cards.window.width(), cards.window.height()) == (1024, 600)


def all_whole(opened: Opened, *names: str) -> bool:
    """Whether nothing of these is hidden or scrolled away."""
    widgets: list[QWidget] = [opened.find(name) for name in names]
    return all(each.visibleRegion().boundingRect().size() == each.size() for each in widgets)


# Calling ------------------------------------------------------------------------------------------


@pytest.fixture
def players(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever system this is, it plays and speaks as Linux does."""
    monkeypatch.setitem(PLAYERS, sys.platform, PLAYERS["linux"])
    monkeypatch.setitem(VOICES, sys.platform, VOICES["linux"])


@pytest.mark.usefixtures("players")
def test_a_call_fills_every_screen_and_plays_a_tone_until_somebody_comes_and_keeps_who(
    cards: Opened, programs: Callable[..., Path], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = tmp_path / "played.wav"
    log = programs("paplay", f'IFS= read -r line < "$1"; echo "$line" > "{copy}"; exec /bin/sleep 60')
    monkeypatch.setattr("carelog.ui.cards.calling.other_screens", lambda _window: QApplication.screens())
    cards.press("cards_call")
    assert big(cards) == ["Please come to Nima Albers"]
    cards.wait(lambda: copy.exists() and copy.read_bytes().startswith(b"RIFF"))
    assert len(started(log)) == 1
    file = Path(started(log)[0].removeprefix("paplay "))
    assert file.parent == cards.window.desk.parts.places.scratch
    shown = texts(cards.shown())
    assert "This is no alarm." in shown
    assert "plays a tone" in shown
    (sign,) = page_of(cards).calling._signs
    assert "Please come to Nima Albers" in texts(sign)
    for name in ("board", "cards"):
        QTest.keyClick(cards.window, Qt.Key.Key_Escape)
        cards.window.do(name)
    assert big(cards) == ["Please come to Nima Albers"]
    sign.view.findChildren(QPushButton, "coming_MO")[0].click()
    cards.wait(lambda: len(cards.written("phrase")) == 1)
    (entry,) = cards.written("phrase")
    assert (entry.details, entry.by, entry.note) == ({"text": "I am coming"}, "MO", "Called 03:12")
    assert not file.exists()
    assert not sign.isVisible()
    assert page_of(cards).calling.ringer._process is None
    assert cards.find("card_1").isVisible()


@pytest.mark.usefixtures("players", "programs")
@pytest.mark.parametrize("under_cover", [True, False])
def test_one_key_calls_somebody_from_anywhere_and_from_under_the_cover(
    opened: Opened, under_cover: bool
) -> None:
    opened.window.do("cover" if under_cover else "plan")
    QTest.keyClick(opened.window, Qt.Key.Key_F12)
    assert big(opened) == ["Please come to Nima Albers"]
    since = page_of(opened).calling._since
    opened.clock.instant += MINUTE
    QTest.keyClick(opened.window, Qt.Key.Key_F12)
    assert page_of(opened).calling._since == since, "a call that stands goes on"
    opened.press("call_stop")
    assert opened.window.rail.isVisible()
    opened.window.do("board")
    assert opened.find("tile_suction").isVisible()


@pytest.mark.usefixtures("players")
def test_a_player_that_fails_gives_way_to_the_next_and_without_any_the_page_says_so(
    cards: Opened, programs: Callable[..., Path]
) -> None:
    log = programs("pw-play", "exit 1")
    programs("aplay", "exit 1")
    cards.press("cards_call")
    cards.wait(lambda: "There is no sound here" in texts(cards.shown()))
    assert [line.split()[0] for line in started(log)] == ["pw-play", "aplay"]
    cards.press("call_stop")
    assert cards.written("phrase") == []
    assert cards.find("card_1").isVisible()


@pytest.mark.usefixtures("players", "programs")
def test_where_there_is_no_player_at_all_it_is_said_before_and_a_closed_window_calls_no_more(
    opened: Opened,
) -> None:
    opened.window.do("cards")
    assert opened.find("cards_call").text() == "call somebody (no sound)"
    opened.press("cards_call")
    assert "There is no sound here" in texts(opened.shown())
    calling = page_of(opened).calling
    assert calling.ringer.is_ringing
    opened.window.close()
    assert not calling.ringer.is_ringing


@pytest.mark.parametrize("system", sorted(PLAYERS))
def test_each_systems_players_get_the_file_as_one_word_and_nothing_else_is_started(
    opened: Opened, programs: Callable[..., Path], monkeypatch: pytest.MonkeyPatch, system: str
) -> None:
    monkeypatch.setitem(PLAYERS, sys.platform, PLAYERS[system])
    shells = [programs(name) for name in ("sh", "bash", "cmd", "powershell")]
    for each in PLAYERS[system]:
        log = programs(each.name, f'[ $# -eq {len(each.words) + 1} ] && [ -f "${{{len(each.words) + 1}}}" ]')
        ringer = ToneRinger(
            opened.window.desk.parts.places.scratch / "a b; $(c)", lambda: None, opened.window
        )
        ringer.start()
        opened.wait(partial(has_ended, ringer))
        assert ringer._players, "the player took the file"
        ringer.stop()
        (log.parent / "bin" / each.name).unlink()
    assert {line.split()[0] for line in started(shells[0])} == {each.name for each in PLAYERS[system]}


def has_ended(ringer: ToneRinger) -> bool:
    """Whether a player that was started has ended."""
    return ringer._process is None and ringer._again.isActive()


class Played:
    """The sound of Windows, as Python hands it out."""

    SND_FILENAME, SND_ASYNC, SND_LOOP, SND_NODEFAULT = 0x20000, 1, 8, 2

    def __init__(self, *, works: bool) -> None:
        self.works, self.played = works, list[tuple[str | None, int]]()

    def PlaySound(self, sound: str | None, flags: int) -> None:
        self.played.append((sound, flags))
        if not self.works:
            raise RuntimeError


@pytest.mark.usefixtures("programs")
@pytest.mark.parametrize("works", [True, False])
def test_on_windows_the_system_itself_plays_until_somebody_comes_or_it_is_said_that_it_does_not(
    cards: Opened, monkeypatch: pytest.MonkeyPatch, works: bool
) -> None:
    system = Played(works=works)
    monkeypatch.setitem(PLAYERS, sys.platform, ())
    monkeypatch.setattr("carelog.ui.cards.sound.system_sound", lambda: system)
    cards.press("cards_call")
    (file, flags) = system.played[0]
    assert file is not None
    assert Path(file).read_bytes().startswith(b"RIFF")
    assert flags == 0x20000 | 1 | 8 | 2
    assert ("plays a tone" in texts(cards.shown())) is works
    cards.press("call_stop")
    assert system.played[1:] == ([(None, 0)] if works else [])
    assert not Path(file).exists()


@pytest.mark.usefixtures("programs")
def test_a_call_ends_on_every_screen_though_the_system_cannot_be_told_to_be_silent(
    cards: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    system = Played(works=True)
    monkeypatch.setitem(PLAYERS, sys.platform, ())
    monkeypatch.setattr("carelog.ui.cards.sound.system_sound", lambda: system)
    monkeypatch.setattr("carelog.ui.cards.calling.other_screens", lambda _window: QApplication.screens())
    cards.press("cards_call")
    (sign,) = page_of(cards).calling._signs
    file = system.played[0][0]
    system.works = False
    cards.press("call_stop")
    assert system.played[1:] == [(None, 0)]
    assert not sign.isVisible()
    assert page_of(cards).calling._signs == []
    assert cards.find("card_1").isVisible()
    assert file is not None
    assert not Path(file).exists()


def test_nobody_is_asked_to_come_to_themselves(opener: Opener) -> None:
    record = household()
    details = {"initials": "NA", "name": "Nima", "role": "self"}
    number = "30000000-0000-7000-8000-000000000001"
    record.entries.append(
        Entry(number, "recorder", Moment(NOW - MINUTE), NOW - MINUTE, "Europe/London", "LR", details)
    )
    opened = opener(record)
    opened.window.do("cards")
    opened.press("cards_call")
    named = {each.objectName() for each in buttons(opened.shown())}
    assert {"coming", "coming_LR"} <= named
    assert "coming_NA" not in named


def test_no_sound_file_is_shipped() -> None:
    sounds = (b"RIFF", b"OggS", b"fLaC", b"ID3", b"FORM")
    shipped = [path for room in ("carelog", "resources", "packaging") for path in (ROOT / room).rglob("*")]
    heads = {path: path.read_bytes()[:4] for path in shipped if path.is_file()}
    assert len(heads) > 300
    assert tone().startswith(sounds)  # the control: one would be found
    assert [path.name for path, head in heads.items() if head.startswith(sounds)] == []


# A voice ------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("players")
def test_a_card_is_read_aloud_only_where_the_voice_is_wanted(
    cards: Opened, programs: Callable[..., Path], tmp_path: Path
) -> None:
    heard = tmp_path / "heard"
    log = programs("spd-say", f'IFS= read -r line; echo "$line" >> "{heard}"')
    cards.press("card_1")
    page_of(cards).put_away()
    cards.window.preferences.change(has_voice=True)
    cards.pause()
    cards.press("card_3")
    cards.wait(heard.exists)
    cards.wait(lambda: heard.read_text() == "Something hurts\n")
    assert started(log) == ["spd-say --pipe-mode"]


@pytest.mark.parametrize("system", sorted(VOICES))
def test_each_systems_voice_gets_the_words_as_its_input_and_never_among_its_own_words(
    cards: Opened,
    programs: Callable[..., Path],
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
    system: str,
) -> None:
    monkeypatch.setitem(VOICES, sys.platform, VOICES[system])
    heard, (voice,) = tmp_path / "heard", VOICES[system]
    shells = [programs(name) for name in ("sh", "bash", "cmd", "powershell")]
    programs(voice.name, f'IFS= read -r line; echo "$line" >> "{heard}"')
    cards.window.preferences.change(has_voice=True)
    said = 'It\'s $(touch x) "so"; -f /etc/passwd'
    page_of(cards).voice.read(said)
    cards.wait(lambda: heard.exists() and heard.read_text() == f"{said}\n")
    assert [line.strip() for line in started(shells[0])] == [" ".join((voice.name, *voice.words))]


@pytest.mark.usefixtures("programs")
def test_where_windows_or_another_system_has_no_voice_it_is_said(
    cards: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(VOICES, sys.platform, VOICES.get("win32", ()))
    cards.window.preferences.change(has_voice=True)
    assert "No voice was found on this computer." in texts(cards.shown())
    QTest.keyClick(cards.window, Qt.Key.Key_F8)
    cards.wait(lambda: "No voice was found on this computer." in texts(cards.window.body))


@pytest.mark.usefixtures("players")
def test_a_voice_that_is_not_there_or_does_not_answer_is_told_on_the_page(
    cards: Opened, programs: Callable[..., Path]
) -> None:
    cards.window.preferences.change(has_voice=True)
    assert "No voice was found on this computer." in texts(cards.shown())
    programs("spd-say", "exit 1")
    cards.press("card_1")
    cards.wait(lambda: page_of(cards).voice.trouble() == "The voice of this computer doesn't answer.")


@pytest.mark.usefixtures("players")
def test_one_key_reads_the_two_newest_flags_with_their_levels_and_says_where_nothing_is_heard(
    opened: Opened, programs: Callable[..., Path], tmp_path: Path
) -> None:
    heard = tmp_path / "heard"
    programs("spd-say", f'IFS= read -r line; echo "$line" > "{heard}"')
    raise_flags(
        opened,
        flag(Level.CALL, rule="old", raised_at=NOW - 90 * MINUTE, headline="An older one."),
        flag(Level.NOTE, rule="new", raised_at=NOW - 10 * MINUTE, headline="Ties.", why=""),
        flag(Level.CALL, rule="newer", raised_at=NOW - 50 * MINUTE, headline="Cuff 34.", why="Too high."),
    )
    QTest.keyClick(opened.window, Qt.Key.Key_F8)
    assert "switch the voice on in the settings" in texts(opened.window)
    opened.window.preferences.change(has_voice=True)
    QTest.keyClick(opened.window, Qt.Key.Key_F8)
    told = "Look at this. Ties. Speak to the team today. Cuff 34. Too high.\n"
    opened.wait(lambda: heard.exists() and heard.read_text() == told)
