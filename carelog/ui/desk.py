"""What a window works with: the record, what it shows now, who records, and the presses."""

from carelog.ui.access import Access
from carelog.ui.parts import Parts
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.slips import Slips


class Desk:
    """Made once for a window, which gives each page the things that it needs."""

    def __init__(self, parts: Parts) -> None:
        self.parts = parts
        self.access = Access(parts.record_path, parts.open_record, parts.clock, parts.ids)
        self.present = Present(self.access, parts.clock, parts.doubt)
        self.recorder = Recorder(self.present, parts.clock, parts.ids)
        self.slips = Slips(self.access, self.present, self.recorder)
        self.access.when_committed.append(parts.witness)
        self.access.when_preparing.append(lambda _record: self.recorder.begin)
