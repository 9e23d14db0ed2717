"""What leaves the house comes back as it was, or not at all, and only by its own keys."""

import io
import random as chance
import re
import tracemalloc
from collections.abc import Iterator

import pytest

from carelog import resources
from carelog.domain.trouble import Refused
from carelog.seal import code, envelope, keys
from carelog.seal.envelope import CHUNK, FILE, TAG, Household, Means
from carelog.seal.magic import MAGIC
from tests.seal import reader
from tests.seal.making import AT_HOME, CODE, HOUSEHOLD, OTHER, OTHER_CODE, opened, sealed

PAGE = resources.find("format/envelope.md").read_text(encoding="utf-8")
SIZES = [0, 1, CHUNK - 1, CHUNK, CHUNK + 1, 2 * CHUNK, 3 * CHUNK + 7]
SENTENCES = ("isn't as it was written", "end of “copy” is missing", "wrong order", "Something was added")


def some_bytes(size: int) -> bytes:
    return chance.Random(size).randbytes(size)


def vectors() -> dict[str, str]:
    """What stands in the page's last block, by name."""
    found: dict[str, str] = {}
    name = ""
    for line in PAGE.split("```")[1].strip().splitlines():
        if line.startswith("  "):
            found[name] += line.strip()
        else:
            name, _, text = line.partition(" ")
            found[name] = text
    return found


@pytest.mark.parametrize("size", SIZES)
def test_what_was_put_in_comes_out_by_key_by_code_and_by_passphrase(size: int) -> None:
    content = some_bytes(size)
    file = sealed(content)
    assert opened(file) == content
    assert opened(file, Means(code_keys=(keys.of_code(CODE),))) == content
    assert content[:40] not in file or size < 40


def test_a_passphrase_opens_what_was_sent() -> None:
    file = sealed(b"content", "žluťoučký")
    assert opened(file, Means(passphrase="z\u030clut\u030couc\u030cky\u0301")) == b"content"
    with pytest.raises(Refused, match="This passphrase doesn't open"):
        opened(file, Means(passphrase="Žluťoučký"))
    with pytest.raises(Refused, match="encrypted with a passphrase"):
        opened(file)


@pytest.mark.parametrize("size", SIZES)
def test_a_second_reader_written_from_the_page_reads_it(size: int) -> None:
    content = some_bytes(size)
    file = sealed(content)
    assert reader.opened(file, "H", HOUSEHOLD.key) == content
    assert reader.opened(file, "C", reader.code_key(code.grouped(CODE).lower())) == content


def test_the_page_s_vectors_are_what_is_written_and_what_a_second_reader_reads() -> None:
    page = vectors()
    content, typed = page["content"].encode(), code.read(page["code"])
    assert keys.of_code(typed).hex() == reader.code_key(page["code"]).hex() == page["code_key"]
    household = Household(bytes(range(16)), bytes.fromhex(page["household_key"]), keys.of_code(typed))
    for by, name, letter in ((household, "household", "H"), (page["passphrase"], "sent", "P")):
        random = bytes(range(0x80, 0xC0))
        written = b"".join(envelope.seal(io.BytesIO(content), len(content), by, FILE, random))
        assert written.hex() == page[name]
        secret = household.key if name == "household" else page["passphrase"]
        assert reader.opened(bytes.fromhex(page[name]), letter, secret) == content


def test_the_second_reader_has_none_of_the_program_s_code_and_is_short() -> None:
    source = resources.folder().parent.joinpath("tests", "seal", "reader.py").read_text(encoding="utf-8")
    assert not re.search(r"import carelog|from carelog", source)
    assert len(source.splitlines()) <= 60


def test_a_code_brings_the_household_s_key_along() -> None:
    source = io.BytesIO(sealed(b"content"))
    found = envelope.open_header(source, "copy", Means(code_keys=(HOUSEHOLD.code_key,)))
    assert found.learnt == HOUSEHOLD


def test_two_envelopes_around_the_same_share_nothing_behind_their_name() -> None:
    one, other = sealed(b"content"), sealed(b"content")
    assert one[:37] == other[:37]
    assert one[37:69] != other[37:69]
    assert one[-23:] != other[-23:]


# What was spoiled ---------------------------------------------------------------------------------------


def test_any_byte_of_a_small_one_that_is_changed_is_found() -> None:
    file = sealed(b"a small content")
    for place in range(len(file)):
        spoiled = bytearray(file)
        spoiled[place] ^= 1 << place % 8
        with pytest.raises(Refused):
            opened(bytes(spoiled))


def test_without_the_tags_a_changed_byte_would_go_unseen() -> None:
    """The control: the same cipher, read without asking whether it is as it was written."""
    file = sealed(b"a small content")
    spoiled = file[:-17] + bytes((file[-17] ^ 1,)) + file[-16:]
    assert unchecked(spoiled) == b"a small contenu"


def test_without_the_header_s_binding_another_file_s_piece_would_be_taken() -> None:
    assert unchecked(sealed(b"first")) == b"first"


def unchecked(file: bytes) -> bytes:
    from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes

    source = io.BytesIO(file)
    key = envelope.open_header(source, "copy", AT_HOME).key
    nonce = bytes(11) + b"\x01"
    counter = algorithms.AES(key), modes.CTR(nonce + (2).to_bytes(4, "big"))  # SP 800-38D, section 7.1
    return Cipher(*counter).decryptor().update(source.read()[:-TAG])


def harmed(rng: chance.Random, file: bytes) -> Iterator[tuple[str, bytes, tuple[str, ...]]]:
    """One envelope spoiled in each way, and which sentences may say so."""
    length = int.from_bytes(file[10:12], "big")
    step = CHUNK + TAG
    head, rest = file[:length], file[length:]
    pieces = [rest[at : at + step] for at in range(0, len(rest), step)]
    place = rng.randrange(len(file))
    flipped = file[:place] + bytes((file[place] ^ 1 << rng.randrange(8),)) + file[place + 1 :]
    yield "flip", flipped, (*SENTENCES[:2], "newer")
    yield "cut", file[: rng.randrange(8, len(file))], SENTENCES[1:2]
    one, two = rng.sample(range(len(pieces) - 1), 2)
    swapped = list(pieces)
    swapped[one], swapped[two] = swapped[two], swapped[one]
    yield "swap", head + b"".join(swapped), SENTENCES[2:3]
    repeated = list(pieces)
    repeated[one] = repeated[two]
    yield "repeat", head + b"".join(repeated), SENTENCES[2:3]
    yield "twice", head + b"".join(pieces[: one + 1] + pieces[one:]), (SENTENCES[2], SENTENCES[0])
    yield "append", file + rng.randbytes(rng.randrange(1, 99)), SENTENCES[3:]
    yield "left out", head + b"".join(pieces[:one] + pieces[one + 1 :]), SENTENCES[:3]
    other = sealed(some_bytes(4 * CHUNK + 5))[length:]
    yield "another's piece", head + other[:step] + rest[step:], SENTENCES[:1]


def test_of_500_spoiled_envelopes_none_is_taken_and_each_has_its_sentence() -> None:
    rng = chance.Random(22)
    file = sealed(some_bytes(4 * CHUNK + 5))
    tried = 0
    while tried < 500:
        for name, spoiled, sentences in harmed(rng, file):
            tried += 1
            with pytest.raises(Refused) as refused:
                opened(spoiled)
            assert any(each in refused.value.sentence for each in sentences), (name, refused.value.sentence)


def test_noise_with_the_right_beginning_is_refused() -> None:
    rng = chance.Random(23)
    for size in (0, 1, 3, 4, 5, 32, 80, 300, 70_000):
        with pytest.raises(Refused):
            opened(MAGIC + rng.randbytes(size))


# The right words ----------------------------------------------------------------------------------------


def test_another_household_s_is_told_from_one_that_needs_the_code() -> None:
    with pytest.raises(Refused, match="another household's"):
        opened(sealed(b"content", OTHER))
    with pytest.raises(Refused, match="The recovery code opens it"):
        opened(sealed(b"content"), Means())
    with pytest.raises(Refused, match="typed without a mistake, but"):
        opened(sealed(b"content"), Means(code_keys=(keys.of_code(OTHER_CODE),)))


@pytest.mark.parametrize("place", [8, 9])
def test_one_of_a_newer_version_or_suite_is_told(place: int) -> None:
    import hashlib

    file = sealed(b"content")
    length = int.from_bytes(file[10:12], "big")
    header = file[:place] + b"\x02" + file[place + 1 : length - 32]
    with pytest.raises(Refused, match="written by a newer carelog"):
        opened(header + hashlib.sha256(header).digest() + file[length:])


def test_a_key_stands_in_no_text_about_it() -> None:
    assert "k" * 32 not in repr(HOUSEHOLD)
    assert "secret" not in repr(Means((HOUSEHOLD,), (b"s" * 32,), "secret"))
    source = io.BytesIO(sealed(b"content"))
    found = envelope.open_header(source, "copy", AT_HOME)
    assert repr(found.key) not in repr(found)


def test_memory_stays_flat_however_long_the_content_is() -> None:
    def peak(pieces: int) -> int:
        class Source(io.RawIOBase):
            def read(self, size: int = -1) -> bytes:
                return bytes(size)

        tracemalloc.start()
        for _ in envelope.seal(Source(), pieces * CHUNK, HOUSEHOLD):  # type: ignore[arg-type]
            pass
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return found

    peak(1)
    assert peak(200) < peak(4) + CHUNK
