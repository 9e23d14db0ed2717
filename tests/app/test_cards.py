"""Phrase cards in the record: the household's own in the ready-made ones' place, changed as a page."""

import io
import wave
from array import array
from collections.abc import Iterator, Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.app.cards import (
    A_BOARD,
    CardPage,
    CardRow,
    PhraseCard,
    boards,
    card_pages,
    change_page,
    page_named,
    read_cards,
    read_messages,
)
from carelog.app.outlook import Outlook
from carelog.app.programs import COMMAND, SystemProgram, aloud, here
from carelog.app.readymade import BREATH, NEEDS, OWN, SETS, SPELLING
from carelog.app.since import since_of
from carelog.app.tone import LOUDEST, tone
from tests.app.books import Desk, desk_in


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    with desk_in(tmp_path) as desk:
        yield desk


def rows(page: CardPage) -> list[CardRow]:
    """The cards of a page as they stand on the page where they are changed."""
    return [CardRow(card.text, card.also, card.held) for card in page.cards]


def texts(cards: Sequence[PhraseCard | CardRow]) -> list[tuple[str, str]]:
    return [(card.text, card.also) for card in cards]


def needs(desk: Desk) -> CardPage:
    return page_named(read_cards(desk.record), NEEDS)


def test_with_nothing_of_its_own_a_household_has_every_ready_made_card_within_two_presses() -> None:
    found = boards(card_pages())
    assert all(0 < len(board.cards) <= A_BOARD for board in found)
    shown = {card.text for board in found for card in board.cards}
    assert shown == {text for each in SETS if each.name not in SPELLING for text in each.said()}


def test_hard_breathing_stands_second_on_the_first_page_and_goes_on_being_a_card_of_breath() -> None:
    second = boards(card_pages())[0].cards[1]
    assert (second.page, second) == (BREATH, page_named(card_pages(), BREATH).cards[0])


def test_a_change_makes_a_page_the_households_own_and_leaves_the_others_ready_made(desk: Desk) -> None:
    change_page(desk.book, needs(desk), [*rows(needs(desk))[:2], CardRow("I need my dog", "Mój pies")], "LR")
    assert texts(needs(desk).cards)[2] == ("I need my dog", "Mój pies")
    assert len(desk.record.of_kinds(["phrase_card"])) == 3
    others = [page for page in read_cards(desk.record) if page.name != NEEDS]
    assert others == [page for page in card_pages() if page.name != NEEDS]


@given(data=st.data())
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_whatever_is_reordered_reworded_added_and_taken_away_is_read_back_and_taken_back_as_one(
    desk: Desk, data: st.DataObject
) -> None:
    desk.clock.instant += 1_000_000
    page = needs(desk)
    before = texts(page.cards)
    wanted = data.draw(st.permutations(rows(page)))[: data.draw(st.integers(1, len(page.cards)))]
    wanted = [
        CardRow(data.draw(st.sampled_from((row.text, f"{row.text}!"))), row.also, row.held) for row in wanted
    ]
    wanted.insert(0, CardRow("Something new", "noch etwas"))
    saved = change_page(desk.book, page, wanted, "LR")
    assert texts(needs(desk).cards) == texts(wanted)
    assert change_page(desk.book, needs(desk), rows(needs(desk)), "LR") == []
    desk.clock.instant += 1_000_000
    desk.book.strike_together(saved, "LR")
    assert texts(needs(desk).cards) == before


def test_two_computers_that_each_made_a_page_their_own_meet_without_a_card_twice(desk: Desk) -> None:
    page = needs(desk)
    for by in ("LR", "MO"):
        change_page(desk.book, page, [*rows(page), CardRow("A dog")], by)
    assert texts(needs(desk).cards) == [*texts(page.cards), ("A dog", "")]


def test_a_page_the_household_adds_comes_last_and_a_card_without_a_page_is_among_our_own(desk: Desk) -> None:
    change_page(desk.book, page_named(read_cards(desk.record), "Chess"), [CardRow("Check!")], "LR")
    desk.book.record("phrase_card", {"text": "My dog"}, "LR")
    pages = read_cards(desk.record)
    assert pages[-1].title == "Chess"
    assert [card.text for card in page_named(pages, OWN).cards] == ["My dog"]


def test_more_cards_than_twelve_are_shown_as_several_subjects(desk: Desk) -> None:
    change_page(desk.book, page_named(card_pages(), "Chess"), [CardRow(f"c{n}") for n in range(20)], "")
    chess = [board for board in boards(read_cards(desk.record)) if board.name == "Chess"]
    assert [(board.title, len(board.cards)) for board in chess] == [("Chess", 12), ("Chess 2", 8)]


def test_the_last_messages_are_neither_cards_nor_what_others_said(desk: Desk) -> None:
    for number in range(12):
        desk.clock.instant += 1_000_000
        desk.book.record("phrase", {"text": f"message {number}"}, "")
    desk.book.record("phrase", {"text": needs(desk).cards[0].text}, "")
    desk.book.record("phrase", {"text": "I am coming"}, "MO", note="Called 03:12")
    assert read_messages(desk.record, card_pages()) == tuple(f"message {n}" for n in range(11, 1, -1))


def test_what_was_only_said_by_a_card_or_by_coming_tells_nothing_of_who_records(desk: Desk) -> None:
    desk.book.record("suction", {}, "LR")
    outlook = Outlook(desk.record)
    for number in range(5):
        desk.clock.instant += 1_000_000
        outlook.add([desk.book.record("phrase", {"text": f"card {number}"}, "NA")])
    for seen in (outlook, Outlook(desk.record)):
        picture = seen.picture(desk.clock.instant)
        assert (picture.last_by, picture.last_known) == ("LR", desk.clock.instant)
    since = since_of(desk.record, Outlook(desk.record).picture(desk.clock.instant), "NA")
    assert since.last is None
    desk.clock.instant += 1_000_000
    outlook.add([desk.book.record("mouth_care", {}, "MO")])
    assert outlook.picture(desk.clock.instant).last_by == "MO"


def test_the_tone_is_a_wav_file_of_our_own_as_loud_as_samples_can_be() -> None:
    with wave.open(io.BytesIO(tone())) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)
        rate, samples = file.getframerate(), array("h", file.readframes(file.getnframes()))
    assert (max(samples), min(samples)) == (LOUDEST, -LOUDEST)
    first = samples[: rate // 4]
    turns = sum(one < 0 <= other for one, other in pairwise(first))
    assert abs(turns * 4 - 520) <= 8


def test_only_programs_that_are_here_are_started_and_a_voice_is_never_given_a_command() -> None:
    programs = (SystemProgram("one"), SystemProgram("two", ("--quiet",)))
    assert here(programs, {"two": "/bin/two"}.get) == [["/bin/two", "--quiet"]]
    assert aloud(f"{COMMAND} STOP\nall") == b"STOP all\n"
