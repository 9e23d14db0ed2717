"""The catalogue of translatable words, translations made from it, and choosing one."""

import gettext
import io
from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po

import catalogue
from carelog import text
from catalogue import COMMAND, TEMPLATE, Saying, compiled, faults, help_sayings, sayings, template, texts_of
from tests.words.speaking import as_before

GERMAN = {
    "Undo": "Zurück",
    "Since {time}.": "Seit {time}.",
    'a "quote"\nand a line': "ein „Zitat“\nund eine Zeile",
    "not translated": "",
}


def catalog_of(translated: dict[str, str]) -> Catalog:
    """A translation in memory."""
    made = Catalog("de", charset="utf-8")
    for words, translation in translated.items():
        made.add(words, translation)
    return made


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
    (place / "carelog.mo").write_bytes(compiled(catalog_of(translated)))


# The template -------------------------------------------------------------------------------------------


def test_the_catalogue_holds_every_text_of_today() -> None:
    held, wanted = texts_of(catalogue.kept()), texts_of(template([*sayings(), *help_sayings()]))
    missing, gone = sorted(wanted - held), sorted(held - wanted)
    told = f"{TEMPLATE.name} is out of date; run: {COMMAND}"
    assert held == wanted, f"{told}\nmissing: {missing[:20]}\nno longer said: {gone[:20]}"


def test_a_text_that_is_missing_from_the_catalogue_is_found() -> None:
    held = texts_of(template(sayings()[1:]))
    assert sayings()[0].words not in held - {each.words for each in sayings()[1:]}
    assert len(held) < len(texts_of(template([*sayings(), Saying("A new text.", "x.py", 1)])))


def test_marked_texts_are_found_however_they_are_written(tmp_path: Path) -> None:
    found = source(
        tmp_path,
        "from carelog.text import mark, say as tell, say_n\n"
        "A = mark('one ' 'two')\n"
        "B = tell('three {x}').format(x=1)\n"
        "C = tell('four' if A else 'five')\n"
        "D = say('not ours')\n"
        "E = thing.mark('a method')\n"
        "F = Source(mark('a name'))\n"
        "G = say_n('one flag', '{count} flags', 2)\n",
    )
    assert [each.words for each in found] == ["one two", "three {x}", "four", "five", "a name", "one flag"]
    assert [each.within for each in found] == ["", "", "", "", "Source", ""]
    assert [each.many for each in found][-2:] == ["", "{count} flags"]
    assert found[1].line == 3


def test_the_template_names_each_file_once_and_guards_places_of_values() -> None:
    made = catalogue.text_of(
        template([Saying("Since {time}.", "a.py", 1), Saying("Since {time}.", "a.py", 9)])
    )
    assert made.count("#: a.py") == 1
    assert '#, python-brace-format\nmsgid "Since {time}."' in made


def test_the_template_reads_back_as_it_was_written() -> None:
    found = [Saying(words, "a.py", 1) for words in GERMAN]
    assert texts_of(read_po(io.StringIO(catalogue.text_of(template(found))))) == set(GERMAN)


# Translations -------------------------------------------------------------------------------------------


def po(folder: Path, content: str, language: str = "de") -> Path:
    """A translation in the tree."""
    place = folder / language / "LC_MESSAGES"
    place.mkdir(parents=True)
    path = place / "carelog.po"
    head = 'msgid ""\nmsgstr ""\n"Content-Type: text/plain; charset=utf-8\\n"\n'
    path.write_text(head + content, encoding="utf-8")
    return path


def test_a_compiled_translation_is_read_by_gettext() -> None:
    found = gettext.GNUTranslations(io.BytesIO(compiled(catalog_of(GERMAN))))
    assert [found.gettext(words) for words in GERMAN] == [
        "Zurück",
        "Seit {time}.",
        "ein „Zitat“\nund eine Zeile",
        "not translated",
    ]


def test_a_translation_that_loses_a_value_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert faults(catalog_of(GERMAN)) == []
    assert faults(catalog_of({"Since {time}.": "Seit {zeit}."}))
    path = po(tmp_path, 'msgid "Since {time}."\nmsgstr "Seit."\n')
    assert catalogue.compile_all(tmp_path) == 1
    assert "other places for values" in capsys.readouterr().err
    assert not path.with_suffix(".mo").exists()


def test_a_good_translation_is_compiled_beside_its_source(tmp_path: Path) -> None:
    po(tmp_path, 'msgid "Undo"\nmsgstr "Zurück"\n')
    assert catalogue.compile_all(tmp_path) == 0
    text.choose(tmp_path, ["de"])
    assert text.say("Undo") == "Zurück"


def test_a_guess_is_never_compiled_as_if_it_were_meant(tmp_path: Path) -> None:
    po(tmp_path, '#, fuzzy\nmsgid "Tube out"\nmsgstr "Kanüle gewechselt"\n\nmsgid "Undo"\nmsgstr "Zurück"\n')
    assert catalogue.compile_all(tmp_path) == 0
    text.choose(tmp_path, ["de"])
    assert (text.say("Tube out"), text.say("Undo")) == ("Tube out", "Zurück")


ENTRY = Saying("one entry", "a.py", 1, many="{count} entries")


@pytest.mark.parametrize(
    ("language", "forms", "said"),
    [
        ("pl", ["jeden wpis", "{count} wpisy", "{count} wpisów"], {1: 0, 2: 1, 5: 2, 22: 1}),
        ("ja", ["{count}件の記録"], {1: 0, 2: 0, 22: 0}),
    ],
)
def test_a_number_is_said_in_as_many_forms_as_the_language_has(
    tmp_path: Path, language: str, forms: list[str], said: dict[int, int]
) -> None:
    assert catalogue.begin(language, tmp_path, template([ENTRY])) == 0
    path = tmp_path / language / "LC_MESSAGES" / "carelog.po"
    content = path.read_text(encoding="utf-8")
    for number, form in enumerate(forms):
        content = content.replace(f'msgstr[{number}] ""', f'msgstr[{number}] "{form}"')
    path.write_text(content, encoding="utf-8")
    assert catalogue.compile_all(tmp_path) == 0
    text.choose(tmp_path, [language])
    told = {count: text.say_n("one entry", "{count} entries", count) for count in said}
    assert told == {count: forms[form] for count, form in said.items()}


def test_a_form_for_a_number_that_loses_another_value_is_refused() -> None:
    made = Catalog("de", charset="utf-8")
    made.add(
        ("one entry of {who}", "{count} entries of {who}"), ("ein Eintrag von {who}", "{count} Einträge")
    )
    assert len(faults(made)) == 1


def test_without_a_translation_one_is_said_of_one_and_many_of_all_else() -> None:
    assert [text.say_n("one", "many", count) for count in (0, 1, 2)] == ["many", "one", "many"]


def test_a_translation_is_brought_up_to_date_and_keeps_what_is_said_still(tmp_path: Path) -> None:
    path = po(
        tmp_path, 'msgid "Undo"\nmsgstr "Zurück"\n\nmsgid "Tube came out"\nmsgstr "Kanüle ist draußen"\n'
    )
    made = template([Saying(words, "a.py", 1) for words in ("Undo", "Tube came out.", "Print")])
    assert catalogue.update_all(tmp_path, made) == 0
    found = {message.id: message for message in read_po(io.BytesIO(path.read_bytes())) if message.id}
    assert set(found) == {"Undo", "Tube came out.", "Print"}
    assert (found["Undo"].string, found["Undo"].fuzzy) == ("Zurück", False)
    assert (found["Tube came out."].string, found["Tube came out."].fuzzy) == ("Kanüle ist draußen", True)
    assert not found["Print"].string


def test_one_text_in_two_contexts_is_translated_twice(tmp_path: Path) -> None:
    content = 'msgctxt "{}"\nmsgid "Call"\nmsgstr "{}"\n\n'
    path = po(tmp_path, content.format("level", "Anrufen") + content.format("button", "Anruf"))
    assert catalogue.compile_all(tmp_path) == 0
    found = gettext.GNUTranslations(io.BytesIO(path.with_suffix(".mo").read_bytes()))
    assert [found.pgettext(each, "Call") for each in ("level", "button")] == ["Anrufen", "Anruf"]


def test_a_translation_is_begun_once_and_in_a_language_that_there_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    made = template([ENTRY])
    assert [catalogue.begin(each, tmp_path, made) for each in ("de", "de", "no language")] == [0, 2, 2]
    assert "update" in capsys.readouterr().err


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


@pytest.mark.parametrize("broken", [b"", b"not a catalogue", compiled(catalog_of(GERMAN))[:60]])
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
