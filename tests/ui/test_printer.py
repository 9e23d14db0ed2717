"""A real queue prints the pages in their size, on both sides where asked; a failed one is said plainly."""

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp

from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.sheet.pages import no_flags
from tests.sheet.test_card import household

pytestmark = pytest.mark.display("cupsd", "gs", "/usr/lib/cups/filter/pdftopdf")

SETTINGS = """LogLevel debug
Listen {folder}/cups.sock
Browsing No
WebInterface No
DefaultAuthType None
PreserveJobFiles Yes
MaxLogSize 0
<Location />
  Allow all
</Location>
<Location /admin>
  Allow all
</Location>
<Policy default>
  <Limit All>
    Order deny,allow
  </Limit>
</Policy>
"""
FILES = """FileDevice Yes
Sandboxing relaxed
ServerRoot {folder}
RequestRoot {folder}/spool
CacheDir {folder}/cache
StateDir {folder}/state
TempDir {folder}/tmp
AccessLog {folder}/access
ErrorLog {folder}/errors
PageLog {folder}/pages
"""
CHILD = """
import sys
from PySide6.QtPrintSupport import QPrinter, QPrinterInfo
from PySide6.QtWidgets import QApplication
from carelog.ui.sheet.printing import PdfPages, TextPages, Together, draw_on
app = QApplication([])
printer = QPrinter(QPrinterInfo.printerInfo("paper"), QPrinter.PrinterMode.HighResolution)
printer.setDuplex(QPrinter.DuplexMode[sys.argv[1]])
pages = [PdfPages(open(file, "rb").read()) for file in sys.argv[2:]]
print(draw_on(printer, Together([*pages, TextPages([("Call", "01632 960 118")])])))
"""


@dataclass
class Queue:
    """A CUPS of this test's own, with one queue that prints into a file."""

    folder: Path

    @property
    def place(self) -> dict[str, str]:
        """Where its clients find it."""
        return {"CUPS_SERVER": f"{self.folder}/cups.sock", "CUPS_SERVERROOT": str(self.folder)}

    @property
    def around(self) -> dict[str, str]:
        """What its clients find around them."""
        return {**os.environ, **self.place, "QT_QPA_PLATFORM": "offscreen"}

    def run(self, *words: str) -> str:
        """What one of its commands, or the program, says."""
        done = subprocess.run(words, env=self.around, capture_output=True, text=True, timeout=120, check=True)
        return done.stdout.strip()

    def print(self, duplex: str, *pdfs: bytes) -> str:
        """Print sheets and an emergency page in one go; what the window would say."""
        files = []
        for number, pdf in enumerate(pdfs):
            files.append(self.folder / f"sheet-{number}.pdf")
            files[-1].write_bytes(pdf)
        return self.run(sys.executable, "-c", CHILD, duplex, *map(str, files))

    def handed_over(self) -> Path:
        """The document of the newest job, as the program gave it to the queue."""
        return max((self.folder / "spool").glob("d*"))

    def printed(self, count: int) -> bytes:
        """What the printer's file holds, once it has so many pages."""
        file = self.folder / "printed"
        for _ in range(300):
            if file.exists() and (printed := file.read_bytes()).count(b"%%Page: ") == count:
                return printed
            time.sleep(0.1)
        raise AssertionError((self.folder / "errors").read_text(errors="replace")[-3000:])


@pytest.fixture
def queue() -> Iterator[Queue]:
    """A queue that prints into a file."""
    with print_server() as found:
        yield found


@contextmanager
def print_server() -> Iterator[Queue]:
    """A print server that listens on a socket in a folder, as whoever runs the tests."""
    folder = Path("/tmp") / f"carelog-cups-{os.getpid()}"  # a socket's name may be 107 letters long
    shutil.rmtree(folder, ignore_errors=True)
    for each in ("spool", "cache", "state", "tmp"):
        (folder / each).mkdir(parents=True)
    folder.chmod(0o777)
    (folder / "tmp").chmod(0o1777)
    for name, text in (("cupsd.conf", SETTINGS), ("cups-files.conf", FILES)):
        (folder / name).write_text(text.format(folder=folder))
    found = Queue(folder)
    server = subprocess.Popen(
        ["cupsd", "-f", "-c", str(folder / "cupsd.conf"), "-s", str(folder / "cups-files.conf")]
    )
    try:
        for _ in range(100):
            if (folder / "cups.sock").exists():
                break
            time.sleep(0.1)
        driver = ["-m", "drv:///sample.drv/generic.ppd", "-o", "Option1=True", "-o", "PageSize=A4"]
        found.run("lpadmin", "-p", "paper", "-E", "-v", f"file:{folder}/printed", *driver)
        yield found
    finally:
        server.terminate()
        server.wait(30)
        shutil.rmtree(folder, ignore_errors=True)


def card(paper: str = "a4") -> bytes:
    """Four cards on a page."""
    asked = SheetRequest(name="card", day=date(2026, 11, 20), paper=paper)
    return make(asked, household(), find_flags=no_flags)


def test_the_queue_gets_all_pages_in_one_job_and_a_card_in_its_size(queue: Queue) -> None:
    wide = SheetRequest(name="handover", day=date(2026, 11, 20), large=True)
    large = make(wide, household(), find_flags=no_flags)
    assert queue.print("DuplexNone", card(), large) == "Sent to the printer."
    with pypdfium2.PdfDocument(queue.handed_over()) as job, pypdfium2.PdfDocument(large) as before:
        assert len(job) == 1 + len(before) + 1
        sizes = [tuple(round(side / 72 * 25.4) for side in page.get_size()) for page in job]
        assert sizes[0] == (210, 297)
        assert set(sizes[1:-1]) == {(297, 210)}
        picture = job[0].render(scale=300 / 72).to_pil().convert("L")
    codes = zxingcpp.read_barcodes(picture)
    assert len(codes) == 4
    lefts = sorted({round(code.position.top_left.x / 10) for code in codes})
    with pypdfium2.PdfDocument(card()) as made:
        wanted = zxingcpp.read_barcodes(made[0].render(scale=300 / 72).to_pil().convert("L"))
    assert lefts == sorted({round(code.position.top_left.x / 10) for code in wanted})
    for code, other in zip(codes, wanted, strict=True):
        width = code.position.top_right.x - code.position.top_left.x
        assert abs(width - (other.position.top_right.x - other.position.top_left.x)) <= 3


@pytest.mark.parametrize(
    ("duplex", "words", "count"),
    [
        ("DuplexNone", b"<</Duplex false>>setpagedevice", 2),
        ("DuplexLongSide", b"<</Duplex true/Tumble false>>", 3),
    ],
)
def test_what_the_printer_gets_is_on_one_side_or_on_both_as_asked_and_nothing_on_the_back_of_a_card(
    queue: Queue, duplex: str, words: bytes, count: int
) -> None:
    assert queue.print(duplex, card()) == "Sent to the printer."
    assert words in queue.printed(count)
    with pypdfium2.PdfDocument(queue.handed_over()) as job:
        drawn = [page.render(scale=0.2).to_pil().convert("L").getextrema()[0] < 200 for page in job]
    assert drawn == [True, *[False] * (count - 2), True]


def test_letter_paper_is_asked_of_the_printer(queue: Queue) -> None:
    queue.print("DuplexNone", card("letter"))
    with pypdfium2.PdfDocument(queue.handed_over()) as job:
        assert job[0].get_size() == (612, 792)


def test_a_printer_that_has_stopped_or_takes_nothing_is_said_plainly(queue: Queue) -> None:
    queue.run("cupsdisable", "paper")
    assert queue.print("DuplexNone", card()) == "The printer “paper” has stopped. The pages wait there."
    queue.run("cupsenable", "paper")
    queue.run("cupsreject", "paper")
    before = queue.handed_over()
    assert queue.print("DuplexNone", card()) == "The printer “paper” takes no pages now."
    assert queue.handed_over() == before
    queue.run("cupsaccept", "paper")
    assert queue.print("DuplexNone", card()) == "Sent to the printer."


def test_without_any_printer_left_nothing_is_called_sent(queue: Queue) -> None:
    queue.run("lpadmin", "-x", "paper")
    assert "Sent" not in queue.print("DuplexNone", card())
