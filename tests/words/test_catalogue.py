"""The catalogue of translatable words, translations made from it, and choosing one."""

import gettext
import io
from collections.abc import Iterator
from pathlib import Path

import pytest

import catalogue
from carelog import text
from catalogue import COMMAND, TEMPLATE, Saying, compiled, faults, help_sayings, read, sayings, template
from tests.words.speaking import as_before

GERMAN = {
    "": catalogue.HEADER,
    "Undo": "Zurück",
    "Since {time}.": "Seit {time}.",
    'a "quote"\nand a line': "ein „Zitat“\nund eine Zeile",
    "not translated": "",
}


@pytest.fixture(autouse=True)
def _own_words() -> Iterator[None]:
    with as_before():
        yield


def source(folder: Path, code: str) -> list[Saying]:
    """The texts found in one module with this code."""
    (folder / "carelog").mkdir()
    (folder / "carelog" / "module.py").write_text(code, encoding="utf-8")
    return sayings(folder)


def written(folder: Path, language: str, translated: dict[str, str]) -> None:
    """A compiled translation where the program looks for it."""
    place = folder / language / "LC_MESSAGES"
    place.mkdir(parents=True)
    (place / "carelog.mo").write_bytes(compiled(translated))


# The template -------------------------------------------------------------------------------------------


def test_the_catalogue_holds_every_text_of_today() -> None:
    held = set(read(TEMPLATE.read_text(encoding="utf-8"))) - {""}
    wanted = {each.words for each in [*sayings(), *help_sayings()]}
    missing, gone = sorted(wanted - held), sorted(held - wanted)
    told = f"{TEMPLATE.name} is out of date; run: {COMMAND}"
    assert held == wanted, f"{told}\nmissing: {missing[:20]}\nno longer said: {gone[:20]}"


def test_a_text_that_is_missing_from_the_catalogue_is_found() -> None:
    held = set(read(template(sayings()[1:])))
    assert sayings()[0].words not in held - {each.words for each in sayings()[1:]}
    assert len(held) < len(set(read(template([*sayings(), Saying("A new text.", "x.py", 1)]))))


def test_marked_texts_are_found_however_they_are_written(tmp_path: Path) -> None:
    found = source(
        tmp_path,
        "from carelog.text import mark, say as tell\n"
        "A = mark('one ' 'two')\n"
        "B = tell('three {x}').format(x=1)\n"
        "C = tell('four' if A else 'five')\n"
        "D = say('not ours')\n"
        "E = thing.mark('a method')\n"
        "F = Source(mark('a name'))\n",
    )
    assert [each.words for each in found] == ["one two", "three {x}", "four", "five", "a name"]
    assert [each.within for each in found] == ["", "", "", "", "Source"]
    assert found[1].line == 3


def test_the_template_names_each_file_once_and_guards_places_of_values() -> None:
    made = template([Saying("Since {time}.", "a.py", 1), Saying("Since {time}.", "a.py", 9)])
    assert made.count("#: a.py") == 1
    assert '#, python-brace-format\nmsgid "Since {time}."' in made


def test_the_template_reads_back_as_it_was_written() -> None:
    found = [Saying(words, "a.py", 1) for words in GERMAN if words]
    assert read(template(found)) == {"": catalogue.HEADER, **dict.fromkeys(list(GERMAN)[1:], "")}


def test_a_line_that_is_not_of_a_catalogue_is_refused() -> None:
    with pytest.raises(ValueError, match="line 2"):
        read('msgid "a"\nmsgstr a\n')


# Translations -------------------------------------------------------------------------------------------


def test_a_compiled_translation_is_read_by_gettext() -> None:
    found = gettext.GNUTranslations(io.BytesIO(compiled(GERMAN)))
    assert [found.gettext(words) for words in GERMAN if words] == [
        "Zurück",
        "Seit {time}.",
        "ein „Zitat“\nund eine Zeile",
        "not translated",
    ]


def test_a_translation_that_loses_a_value_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert faults(GERMAN) == []
    assert faults({"Since {time}.": "Seit {zeit}."})
    place = tmp_path / "de" / "LC_MESSAGES"
    place.mkdir(parents=True)
    (place / "carelog.po").write_text('msgid "Since {time}."\nmsgstr "Seit."\n', encoding="utf-8")
    assert catalogue.compile_all(tmp_path) == 1
    assert "other places for values" in capsys.readouterr().err
    assert not (place / "carelog.mo").exists()


def test_a_good_translation_is_compiled_beside_its_source(tmp_path: Path) -> None:
    place = tmp_path / "de" / "LC_MESSAGES"
    place.mkdir(parents=True)
    (place / "carelog.po").write_text('msgid "Undo"\nmsgstr "Zurück"\n', encoding="utf-8")
    assert catalogue.compile_all(tmp_path) == 0
    text.choose(tmp_path, ["de"])
    assert text.say("Undo") == "Zurück"


# Choosing -----------------------------------------------------------------------------------------------


def test_the_first_language_with_a_catalogue_is_said(tmp_path: Path) -> None:
    written(tmp_path, "de", GERMAN)
    text.choose(tmp_path, ["fr", "de"])
    assert text.say("Undo") == "Zurück"
    assert text.say("Redo") == "Redo"


def test_the_language_of_the_system_is_taken_when_none_is_chosen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written(tmp_path, "de", GERMAN)
    for name in ("LANGUAGE", "LC_ALL", "LC_MESSAGES"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("LANG", "de_AT.UTF-8")
    text.choose(tmp_path)
    assert text.say("Undo") == "Zurück"


@pytest.mark.parametrize("broken", [b"", b"not a catalogue", compiled(GERMAN)[:60]])
def test_a_catalogue_that_cannot_be_read_is_passed_over(tmp_path: Path, broken: bytes) -> None:
    written(tmp_path, "de", GERMAN)
    (tmp_path / "de" / "LC_MESSAGES" / "carelog.mo").write_bytes(broken)
    text.choose(tmp_path, ["de"])
    assert text.say("Undo") == "Undo"


def test_without_any_catalogue_the_words_stay_as_they_are(tmp_path: Path) -> None:
    text.choose(tmp_path / "none", ["de"])
    assert text.say("Undo") == "Undo"
    assert not text.is_right_to_left()


def test_after_a_test_the_language_that_was_chosen_before_is_said_again(tmp_path: Path) -> None:
    written(tmp_path, "de", GERMAN)
    text.use(str.upper)
    with as_before():
        text.choose(tmp_path, ["de"])
        assert text.say("Undo") == "Zurück"
    assert text.say("Undo") == "UNDO"
